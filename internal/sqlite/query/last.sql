SELECT version, removed, name, body
FROM document_version
WHERE kind = ? AND id = ?
ORDER BY version DESC
LIMIT 1
