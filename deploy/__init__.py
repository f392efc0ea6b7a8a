"""The one package that names every app: settings, addresses, servers, processes."""
