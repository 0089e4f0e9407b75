// htmx without what the page's policy forbids: no eval, no inline styles, no other hosts. Import it from here.

import htmx from "htmx.org";

Object.assign(htmx.config, {
  allowEval: false,
  allowScriptTags: false,
  includeIndicatorStyles: false,
  selfRequestsOnly: true,
  attributesToSettle: ["class"], // "style" would be set as the policy forbids, where somebody made a text field larger
  historyCacheSize: 0, // pages hold people's results; none is kept in the browser's storage
});

export default htmx;
