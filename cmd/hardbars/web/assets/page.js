// The page works without this; see the routes in doc.go.
