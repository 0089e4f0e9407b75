"""The pages that athletes and coaches see: routes, templates and their words. They read data as the API does, by the same rules."""
