INSERT INTO document_version (kind, id, version, at, removed, name, body)
VALUES (?, ?, ?, ?, ?, ?, ?)
