"""Our documents as JSON: writing, schema, versions."""
