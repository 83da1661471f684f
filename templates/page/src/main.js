// The program of the page; without it every card stands, only ticks, 3D, sheets and log are missing.

import { boat } from "./boat.js";
import { entries, refill } from "./made.js";
import { list, log } from "./record.js";
import { close, open, sheets } from "./sheets.js";
import { printing, scheme, tabs, ticks, units } from "./shell.js";

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
tabs((section, sheet) => {
  if (section === "boat") view.start();
  if (sheet) open(sheet);
  else close();
});
