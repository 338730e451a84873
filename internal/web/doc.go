// Package web shows the documents as pages and takes edits of them.
//
// Every page is rendered on the server and works without script: an edit is a form, answered by
// a redirect to the page with the new figures. With htmx the same form is answered with the
// page's main element, which is morphed in place, so that focus, caret and what is half typed
// stay.
//
// An edit changes a copy of one document. The copy is written and read again, and the whole set
// resolved with it, before anything is stored: what has a problem is not stored, and the page
// comes back with what was typed and the problem at its field.
//
// A layer is added with the figures that are usual for its kind, all of them to be changed: the
// page has a field for whatever a layer may have, what is not usually looked for under More. An
// assembly is stored with its first layer. Where one cannot be laid as it is written, its page has
// the layers alone, and what is missing as checks.
//
// The section has an edge for each figure of length that a layer gives. While one is moved, the
// layer's form is sent to be tried: the answer shows what would follow and stores nothing. What the
// figure is when the edge is let go is sent as any other edit.
//
// A formula comes in as the text of a notebook. Its page shows how each line was understood, and
// holds what the cook puts right, until it is saved. Lines that are not understood are kept as
// they stand: such a formula is a draft, which is shown and edited but neither scaled nor used.
// A formula that is complete takes no line that cannot be weighed.
//
// The size of a formula stands in the address of its page: whatever figure was fixed, and no
// other.
//
// What the documents resolve to, and the day planned from them, are kept until the store's
// revision moves on.
//
// The server is meant for loopback: requests under another host name are refused, and so are
// edits that another site sends.
package web
