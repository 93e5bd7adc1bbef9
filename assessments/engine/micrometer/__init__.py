"""The scale of a micrometer, for every instrument that is read on one."""
