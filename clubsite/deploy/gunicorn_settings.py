"""gunicorn's settings wherever the web process runs: one process, several threads."""

worker_class = "gthread"
workers = 1
threads = 8
timeout = 60
graceful_timeout = 8
keepalive = 5
loglevel = "warning"
control_socket_disable = True
