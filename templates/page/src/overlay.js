// What is drawn over the 3D view in the plane of the screen: names, verdicts of holes, open items, what is chosen.

const HOLE = 5;
const FLAG = 11;
const MANY = 4;
// Places as near to each other on screen are flagged together [px].
const TOGETHER = 34;
const FONT = "toerail-lettering, 'IBM Plex Sans Condensed', 'Arial Narrow', sans-serif";

/** Draw the symbol of a finished end at a hole, as on the sheets. */
function eye(pen, x, y, verdict, colours) {
  pen.strokeStyle = colours.ink;
  pen.fillStyle = colours.paper;
  pen.lineWidth = 1.6;
  pen.beginPath();
  if (verdict === "cannot tell") pen.rect(x - HOLE, y - HOLE, 2 * HOLE, 2 * HOLE);
  else pen.arc(x, y, HOLE, 0, 2 * Math.PI);
  pen.fill();
  pen.stroke();
  pen.fillStyle = colours.ink;
  pen.beginPath();
  if (verdict === "squeeze") pen.moveTo(x - HOLE, y), pen.lineTo(x + HOLE, y);
  if (verdict === "trial") pen.arc(x, y, HOLE, Math.PI / 2, 1.5 * Math.PI), pen.fill();
  if (verdict === "in place") pen.arc(x, y, HOLE, 0, 2 * Math.PI), pen.fill();
  if (verdict === "line does not pass") pen.moveTo(x - 7, y - 7), pen.lineTo(x + 7, y + 7), pen.moveTo(x - 7, y + 7), pen.lineTo(x + 7, y - 7);
  if (verdict === "cannot tell") pen.moveTo(x - HOLE, y + HOLE), pen.lineTo(x + HOLE, y - HOLE);
  pen.stroke();
}

// Half the width of a hexagon.
const half = (number) => (number < 10 ? FLAG : 1.35 * FLAG);

function flag(pen, x, y, number, colours) {
  const wide = half(number);
  pen.beginPath();
  for (let corner = 0; corner < 6; corner += 1) {
    pen.lineTo(x + wide * Math.cos((Math.PI * corner) / 3), y + FLAG * Math.sin((Math.PI * corner) / 3));
  }
  pen.closePath();
  pen.fillStyle = colours.paper;
  pen.fill();
  pen.strokeStyle = colours.hold;
  pen.lineWidth = 1.6;
  pen.stroke();
  pen.fillStyle = colours.hold;
  pen.font = `600 13px ${FONT}`;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.fillText(String(number), x, y + 0.5);
}

/** Boxes already taken by lettering; what would overlap one of them is left out until the view is closer. */
class Room {
  taken = [];

  free(x, y, w, h) {
    const box = [x - w / 2, y - h / 2, x + w / 2, y + h / 2];
    if (this.taken.some(([l, t, r, b]) => box[0] < r && box[2] > l && box[1] < b && box[3] > t)) return false;
    this.taken.push(box);
    return true;
  }
}

/** Return places to be flagged, those near to each other as one with the numbers of all their items. */
function together(flags, at) {
  const found = [];
  for (const { item, at: place } of flags) {
    const { x, y } = at(place);
    const other = found.find((one) => Math.hypot(one.x - x, one.y - y) < TOGETHER);
    if (!other) found.push({ x, y, items: [item] });
    else if (!other.items.includes(item)) other.items.push(item);
  }
  return found;
}

/** Draw the flags of one place in a row with a leader to it; where there is not room for all, those of the highest rank. */
function flags(pen, { x, y, items }, room, colours) {
  const wide = items.reduce((sum, item) => sum + 2 * half(item), 0);
  const aside = 0.5 * wide + 12;
  const spots = [[0, -22], [0, -46], [aside, -22], [-aside, -22], [aside, 0], [-aside, 0], [0, 26], [0, -70], [0, 50]];
  const spot = spots.find(([dx, dy]) => room.free(x + dx, y + dy, wide + 2, 2 * FLAG));
  if (!spot) {
    if (items.length > 1) flags(pen, { x, y, items: items.slice(0, -1) }, room, colours);
    return;
  }
  pen.strokeStyle = colours.hold;
  pen.lineWidth = 1;
  pen.beginPath();
  pen.moveTo(x, y);
  pen.lineTo(x + spot[0], y + spot[1]);
  pen.stroke();
  let left = x + spot[0] - 0.5 * wide;
  for (const item of items) {
    flag(pen, left + half(item), y + spot[1], item, colours);
    left += 2 * half(item);
  }
}

/** Draw everything over the view; `at` gives the place of a point on screen, `close` whether the view is close. */
export function drawOver(canvas, scene, chosen, at, colours, close) {
  const pen = canvas.getContext("2d");
  const scale = devicePixelRatio || 1;
  pen.setTransform(scale, 0, 0, scale, 0, 0);
  pen.clearRect(0, 0, canvas.width, canvas.height);
  if (chosen) {
    pen.strokeStyle = colours.chosen;
    pen.lineWidth = 12;
    pen.lineCap = pen.lineJoin = "round";
    pen.globalAlpha = 0.45;
    pen.beginPath();
    chosen.points.forEach((point) => pen.lineTo(at(point).x, at(point).y));
    if (chosen.points.length === 1) pen.arc(at(chosen.points[0]).x, at(chosen.points[0]).y, 10, 0, 2 * Math.PI);
    pen.stroke();
    pen.globalAlpha = 1;
  }
  const room = new Room();
  for (const hole of scene.holes) {
    const { x, y } = at(hole.at);
    // A hole that no line passes is a dot.
    if (hole.verdict) eye(pen, x, y, hole.verdict, colours);
    else pen.fillStyle = colours.ink, pen.beginPath(), pen.arc(x, y, 2, 0, 2 * Math.PI), pen.fill();
    room.free(x, y, 2 * HOLE, 2 * HOLE);
  }
  const places = (number) => scene.flags.filter((one) => one.item === number).length;
  // An item of many places is flagged only in a close view.
  const flagged = scene.flags.filter(({ item }) => close || places(item) <= MANY);
  for (const one of together(flagged, at)) flags(pen, one, room, colours);
  pen.font = `600 14px ${FONT}`;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  for (const post of scene.posts) {
    const { x, y } = at(post.points[0]);
    const wide = pen.measureText(post.id).width + 4;
    const spot = [[0, 13], [0.5 * wide + 6, 4], [-0.5 * wide - 6, 4]].find(([dx, dy]) => room.free(x + dx, y + dy, wide, 16));
    if (!spot) continue;
    pen.lineWidth = 4;
    pen.strokeStyle = colours.paper;
    pen.strokeText(post.id, x + spot[0], y + spot[1]);
    pen.fillStyle = colours.ink;
    pen.fillText(post.id, x + spot[0], y + spot[1]);
  }
}
