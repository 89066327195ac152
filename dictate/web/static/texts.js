// What scripts say, in the language of the page: `_("Taking in %(at)s", { at: 1 })`. The page brings the
// texts of a language along; in English there are none to bring.
"use strict";
window._ = (text, values = {}) => {
  const brought = document.querySelector("meta[name=texts]");
  const said = (brought && JSON.parse(brought.content)[text]) || text;
  return said.replace(/%%|%\((\w+)\)s/g, (gap, name) => (name ? values[name] : "%"));
};
