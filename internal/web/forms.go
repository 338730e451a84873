package web

import (
	"maps"
	"slices"
	"strconv"

	"github.com/a-h/templ"

	"chablon/document"
)

// swap returns the attributes with which htmx sends a form and morphs the page's main element
// with the answer. Forms are sent one after the other, in the order of the edits.
func swap(action, trigger string) templ.Attributes {
	return templ.Attributes{
		"hx-post": action, "hx-trigger": trigger, "hx-target": "#page", "hx-swap": "outerMorph", "hx-sync": "#page:queue all",
	}
}

// ask is swap for a form that changes nothing and is kept in the address.
func ask(action string) templ.Attributes {
	return templ.Attributes{
		"hx-get": action, "hx-trigger": "change, submit", "hx-target": "#page", "hx-swap": "outerMorph", "hx-sync": "#page:queue all", "hx-replace-url": "true",
	}
}

// live is ask while a figure is still being typed.
func live(action string) templ.Attributes {
	a := ask(action)
	a["hx-trigger"] = "change, submit, input delay:150ms"
	return a
}

// onEdit sends a form as soon as one of its fields is left changed.
const onEdit = "change, submit"

func number(n int) string { return strconv.Itoa(n) }

func current(here bool) string {
	if here {
		return "page"
	}
	return "false"
}

// wrong returns the attributes of a field: what is wrong with it, for those who hear the page.
func wrong(id, text, describedBy string) templ.Attributes {
	a := templ.Attributes{}
	if text != "" {
		a["aria-invalid"] = "true"
		describedBy = id + "_wrong " + describedBy
	}
	if describedBy != "" {
		a["aria-describedby"] = describedBy
	}
	return a
}

// orderDocument shortens a name that templates use.
type orderDocument = *document.Order

// localTime writes a document's time as the browser's field wants it.
func localTime(due string) string {
	if len(due) >= len("2006-01-02 15:04") {
		return due[:10] + "T" + due[11:16]
	}
	return ""
}

// firstMessage returns what is wrong with a form's fields, the first by name.
func firstMessage(o *outcome) string {
	names := slices.Sorted(maps.Keys(o.Fields))
	return o.Fields[names[0]]
}
