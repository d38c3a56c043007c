"""The club's pages: views, forms, pictures drawn by the server."""
