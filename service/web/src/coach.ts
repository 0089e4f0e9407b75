// The coach's pages.
import "./shared/htmx";
