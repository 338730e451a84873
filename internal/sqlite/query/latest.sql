SELECT kind, id, version, body
FROM (SELECT kind, id, max(version) AS version FROM document_version GROUP BY kind, id)
JOIN document_version USING (kind, id, version)
WHERE removed = 0
ORDER BY kind, id
