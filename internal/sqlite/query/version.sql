SELECT version, removed, name, body
FROM document_version
WHERE kind = ? AND id = ? AND version = ?
