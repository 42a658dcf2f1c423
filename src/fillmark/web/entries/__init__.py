"""Taking entries over HTTP, acknowledged one by one."""
