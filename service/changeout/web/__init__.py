"""The HTTP edge: one table of operations, from which the routes and the OpenAPI document are made."""
