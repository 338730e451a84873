// Package sqlite keeps documents and all their versions in one SQLite file.
//
// A version, once stored, is never changed or deleted: an edit, a removal and a restoration each
// add one. The body of a version is the JSON of document.Marshal, and is read by document.Parse.
// A number, the revision, grows by one with every write, so that a caller can keep what it made
// of the documents until there is something new.
//
// The file is in WAL mode. One connection writes, in immediate transactions; others read, and
// neither waits for the other. Several processes may use a file at the same time. A commit is on
// the disk when a method returns (synchronous=full).
//
// The schema is in migration/NNN_*.sql, forward only; SQLite's user_version is the number of the
// last one applied. Before a file with content is migrated, it is copied beside itself.
package sqlite
