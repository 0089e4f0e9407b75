// The coach's pages. Each part looks whether its place is on the page.
import "./shared/htmx";
import { sendForms } from "./coach/forms";
import { startPlanner } from "./coach/planner";
import { startReview } from "./coach/review";
import { drawTrends } from "./coach/trends";

sendForms();
drawTrends();
startPlanner();
startReview();
