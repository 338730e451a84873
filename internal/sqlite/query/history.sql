SELECT version, at, removed, name
FROM document_version
WHERE kind = ? AND id = ?
ORDER BY version DESC
