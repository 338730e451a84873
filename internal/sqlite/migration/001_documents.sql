-- Every version of every document, only ever added to. A removal is a version without a body.
CREATE TABLE document_version (
  kind    TEXT    NOT NULL,
  id      TEXT    NOT NULL,
  version INTEGER NOT NULL CHECK (version >= 1),
  at      INTEGER NOT NULL, -- milliseconds since 1970, UTC
  removed INTEGER NOT NULL CHECK (removed IN (0, 1)),
  name    TEXT    NOT NULL,
  body    TEXT    NOT NULL, -- JSON; empty for a removal
  PRIMARY KEY (kind, id, version)
) STRICT;

CREATE TRIGGER document_version_kept BEFORE UPDATE ON document_version
BEGIN SELECT raise(ABORT, 'versions of documents are never changed'); END;

CREATE TRIGGER document_version_not_deleted BEFORE DELETE ON document_version
BEGIN SELECT raise(ABORT, 'versions of documents are never deleted'); END;

-- One row: how many writes there have been.
CREATE TABLE revision (
  one    INTEGER NOT NULL PRIMARY KEY CHECK (one = 1),
  number INTEGER NOT NULL
) STRICT;

INSERT INTO revision (one, number) VALUES (1, 0);
