"""The queue of clips to be measured, the workers that measure them, and what keeps either from losing one."""
