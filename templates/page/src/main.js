// The program of the page; without it every card can still be read, only ticks, 3D, sheets and log are missing.

import { boat } from "./boat.js";
import page from "./data.js";
import { entries, refill } from "./made.js";
import { fill, list, log } from "./record.js";
import { remember, renew } from "./renew.js";
import { close, forget, open, put, sheets } from "./sheets.js";
import { current, printing, scheme, tabs, ticked, ticks, titled, units } from "./shell.js";

// Beside the editor the page is computed again at each save.
if (window !== window.parent) {
  remember();
  document.documentElement.page = {
    renew: ({ body, data }) => {
      renew(body);
      Object.assign(page, data);
      current();
      titled();
      ticked();
      refill();
      fill();
      list();
      forget();
      view.renew();
    },
    put,
  };
}

const view = boat();
units(() => {
  refill();
  list();
});
scheme(() => view.repaint());
ticks();
entries(list);
log();
sheets();
printing();
titled();
tabs((section, sheet) => {
  if (section === "boat") view.start();
  if (sheet) open(sheet);
  else close();
});
