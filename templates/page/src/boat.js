// The boat in 3D: swept from axes when its section is opened, turned, zoomed, tapped; figures of what is chosen below.

import { Color, DoubleSide, Group, Mesh, MeshBasicMaterial, OrthographicCamera, Scene, Vector3, WebGLRenderer } from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { Line2 } from "three/addons/lines/Line2.js";
import { LineGeometry } from "three/addons/lines/LineGeometry.js";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import page, { say, words } from "./data.js";
import { drawOver } from "./overlay.js";
import { near } from "./pick.js";
import { surface, tube } from "./sweep.js";

// Where each view is seen from; bow at left in plan and from port, starboard at the top of the plan.
const FROM = { corner: [0.75, 1, 0.7], plan: [0, -1e-4, 1], starboard: [0, 1, 0], port: [0, -1, 0] };
// On a stage that is not wide the corner is seen from further aft and above: the boat fills it.
const STEEP = [1.5, 1, 1.3];
const WIDE = 1.4;
const MARGIN = 0.86;
// The share of the paper's colour in that of the deck.
const DECK_FAINT = 0.45;
const NEAR_WIDTH = 1400;
const TAP = 8;

/** Return the view of the boat; nothing is built before it is started. */
export function boat() {
  let view = null;
  let failed = false;
  const start = () => {
    // Its section is open again: the screen may have been turned meanwhile, so the size is taken before the next frame.
    view?.size();
    if (view || failed) return view;
    try {
      view = createView(document.getElementById("stage"));
    } catch {
      failed = true;
      const none = document.createElement("p");
      none.textContent = words("no_webgl");
      document.getElementById("stage").replaceChildren(none);
    }
    return view;
  };
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("[data-pick], [data-show]");
    if (!link) return;
    const id = link.dataset.pick ?? link.dataset.show;
    // The section has to be open before its size is known.
    setTimeout(() => {
      choose(id, [], start());
      if (link.dataset.show) view?.towards(id);
    }, 0);
  });
  const renew = () => {
    const { chosen } = document.getElementById("chosen").dataset;
    view?.renew();
    if (chosen && cardOf(chosen)) choose(chosen, [], view);
  };
  return { start, renew, repaint: () => view?.repaint() };
}

const cardOf = (id) => ["run", "post", "hole"].map((kind) => document.getElementById(`${kind}-${id}`)).find(Boolean);


/** Show the figures of a line, a stanchion or a hole below the view, copied from its card. */
function choose(id, others, view) {
  const card = cardOf(id);
  const brief = card.querySelector(".brief").cloneNode(true);
  const link = document.createElement("a");
  link.className = "chip";
  link.href = `#${card.id}`;
  link.textContent = words("open_card");
  const place = document.getElementById("chosen");
  place.replaceChildren(brief, link);
  place.dataset.chosen = id;
  const chips = document.getElementById("near");
  chips.querySelectorAll("button").forEach((one) => one.remove());
  for (const other of others) {
    const chip = document.createElement("button");
    chip.type = "button";
    chip.className = "chip";
    chip.dataset.pick = other;
    chip.textContent = other;
    chips.append(chip);
  }
  chips.hidden = others.length === 0;
  view?.mark(id);
}

function line(points, material) {
  const shape = new LineGeometry();
  shape.setPositions(points.flat());
  const object = new Line2(shape, material);
  object.computeLineDistances();
  return object;
}

// One shader program for all planes, and one for all lines: each takes long to compile.
const plane = (more) => new MeshBasicMaterial({ side: DoubleSide, vertexColors: true, ...more });
const stroke = (linewidth, dashSize = 1, gapSize = 0, more = {}) => new LineMaterial({ linewidth, dashed: true, dashSize, gapSize, ...more });
// The core of a line on hold, in the paper's colour, is drawn in front of the line at every angle of view.
const INNER = { polygonOffset: true, polygonOffsetFactor: -2, polygonOffsetUnits: -2000 };

function createView(stage) {
  let data;
  const renderer = new WebGLRenderer({ antialias: true, alpha: true });
  renderer.setPixelRatio(Math.min(devicePixelRatio || 1, 2));
  const over = document.createElement("canvas");
  over.className = "over";
  for (const canvas of [renderer.domElement, over]) canvas.setAttribute("aria-hidden", "true");
  stage.replaceChildren(renderer.domElement, over);

  const scene = new Scene();
  const camera = new OrthographicCamera(-1, 1, 1, -1, -1e5, 1e5);
  camera.up.set(0, 0, 1);
  const controls = new OrbitControls(camera, renderer.domElement);
  controls.enableDamping = false;
  // Swipes up and down scroll the page, else a finger on the view could not leave it.
  renderer.domElement.style.touchAction = "pan-y";
  renderer.domElement.addEventListener("wheel", (event) => {
    if (!event.ctrlKey && !document.fullscreenElement) event.stopImmediatePropagation();
  }, { capture: true });

  const colours = {};
  const materials = {
    tube: plane({}), deck: plane({ depthWrite: false }), post: stroke(2.5), rail: stroke(1.6), edge: stroke(1), net: stroke(1, 3, 3),
    upper: stroke(3.4), lower: stroke(2, 7, 3.5), held: stroke(6), core: stroke(3, 1, 0, INNER),
  };
  const parts = new Group();
  const add = (part, order = 0) => {
    part.renderOrder = order;
    parts.add(part);
  };
  scene.add(parts);

  let all;
  let middle;
  let reach;
  let points;
  const build = () => {
    data = page.scene;
    for (const part of parts.children) part.geometry.dispose();
    parts.clear();
    if (data.deck.length > 1) add(new Mesh(surface(data.deck), materials.deck), -1);
    data.edges.forEach((points) => add(line(points, materials.edge)));
    // A net by its edges alone.
    data.nets.flatMap((net) => net.outlines).forEach((points) => add(line(points, materials.net)));
    for (const post of data.posts) {
      add(new Mesh(tube(post.points, post.radius), materials.tube));
      add(line(post.points, materials.post));
    }
    data.braces.forEach((brace) => add(line(brace.points, materials.rail)));
    for (const rail of data.rails) {
      add(new Mesh(tube(rail.points, rail.radius), materials.tube));
      add(line(rail.points, materials.rail));
    }
    for (const run of data.runs) {
      add(line(run.points, run.held ? materials.held : run.level === "U" ? materials.upper : materials.lower), 1);
      if (run.held) add(line(run.points, materials.core), 2);
    }
    all = [...data.posts, ...data.rails, ...data.runs].flatMap((one) => one.points).concat(data.edges.flat()).map((at) => new Vector3(...at));
    middle = all.reduce((sum, at) => sum.add(at), new Vector3()).divideScalar(all.length);
    reach = Math.max(...all.map((at) => at.distanceTo(middle)));
    points = new Map([
      ...data.posts.map((one) => [one.id, one.points]), ...data.runs.map((one) => [one.id, one.points]), ...data.holes.map((one) => [one.id, [one.at]]),
    ]);
  };
  let chosen = null;
  let width = 1;
  let height = 1;
  let due = 0;
  // Magnification at which the whole boat is seen [px/mm].
  let whole = 1;

  const at = (point) => {
    const seen = new Vector3(...point).project(camera);
    const deep = new Vector3(...point).sub(camera.position).dot(camera.getWorldDirection(new Vector3()));
    return { x: ((seen.x + 1) * width) / 2, y: ((1 - seen.y) * height) / 2, deep: (deep - 2 * reach) / (2 * reach) + 0.5 };
  };
  const draw = () => {
    due = 0;
    for (const dashed of [materials.lower, materials.net]) dashed.dashScale = camera.zoom;
    renderer.render(scene, camera);
    drawOver(over, data, chosen && { points: points.get(chosen) }, at, colours, camera.zoom > 1.7 * whole);
    stage.dataset.drawn = String(Number(stage.dataset.drawn ?? 0) + 1);
  };
  const redraw = () => {
    // A tap may come before the next frame.
    camera.updateMatrixWorld();
    due ||= requestAnimationFrame(draw);
  };
  const fit = () => {
    camera.updateMatrixWorld();
    const seen = all.map((one) => one.clone().applyMatrix4(camera.matrixWorldInverse));
    const span = (axis) => Math.max(...seen.map((one) => one[axis])) - Math.min(...seen.map((one) => one[axis]));
    const centre = (axis) => (Math.max(...seen.map((one) => one[axis])) + Math.min(...seen.map((one) => one[axis]))) / 2;
    const shift = new Vector3(centre("x"), centre("y"), 0).transformDirection(camera.matrixWorld).multiplyScalar(Math.hypot(centre("x"), centre("y")));
    camera.position.add(shift);
    controls.target.add(shift);
    whole = MARGIN * Math.min(width / span("x"), (height - 40) / span("y"));
    camera.zoom = whole;
    camera.updateProjectionMatrix();
    controls.update();
    redraw();
  };
  const see = (name, target = middle) => {
    controls.target.copy(target);
    const from = name === "corner" && width < WIDE * height ? STEEP : FROM[name];
    camera.position.copy(target).addScaledVector(new Vector3(...from).normalize(), 2 * reach);
    controls.update();
    for (const button of document.querySelectorAll("[data-view]")) button.setAttribute("aria-pressed", String(button.dataset.view === name));
  };
  const size = () => {
    // A section that is not open has no size.
    if (!stage.clientWidth || !stage.clientHeight || (width === stage.clientWidth && height === stage.clientHeight)) return;
    width = stage.clientWidth;
    height = stage.clientHeight;
    renderer.setSize(width, height, false);
    over.width = width * (devicePixelRatio || 1);
    over.height = height * (devicePixelRatio || 1);
    Object.assign(camera, { left: -width / 2, right: width / 2, top: height / 2, bottom: -height / 2 });
    camera.updateProjectionMatrix();
    redraw();
  };
  const repaint = () => {
    const style = getComputedStyle(document.documentElement);
    for (const name of ["paper", "ink", "second", "rule", "rope", "hold", "deck"]) colours[name] = style.getPropertyValue(`--${name}`).trim();
    colours.chosen = colours.rope;
    const colourOf = { tube: "second", deck: "deck", post: "second", rail: "second", edge: "rule", net: "second", upper: "rope", lower: "rope", held: "hold", core: "paper" };
    for (const [name, colour] of Object.entries(colourOf)) materials[name].color = new Color(colours[colour]);
    materials.deck.color.lerp(new Color(colours.paper), DECK_FAINT);
    redraw();
  };

  const towards = (id) => {
    const there = points.get(id).map((one) => new Vector3(...one));
    const centre = there.reduce((sum, one) => sum.add(one), new Vector3()).divideScalar(there.length);
    see(centre.y >= 0 ? "starboard" : "port", centre);
    const long = Math.max(NEAR_WIDTH, 1.3 * (Math.max(...there.map((one) => one.x)) - Math.min(...there.map((one) => one.x))));
    camera.zoom = Math.min(width / long, height / 1100);
    camera.updateProjectionMatrix();
    redraw();
  };

  let down = null;
  const canvas = renderer.domElement;
  canvas.addEventListener("pointerdown", (event) => {
    down = event.isPrimary ? { x: event.clientX, y: event.clientY } : null;
  });
  canvas.addEventListener("pointerup", (event) => {
    if (!down || Math.hypot(event.clientX - down.x, event.clientY - down.y) > TAP) return;
    const edge = canvas.getBoundingClientRect();
    const found = near({ x: event.clientX - edge.left, y: event.clientY - edge.top }, data, at);
    if (found.length) choose(found[0], found.slice(1), api);
  });
  canvas.addEventListener("webglcontextlost", (event) => event.preventDefault());
  canvas.addEventListener("webglcontextrestored", redraw);
  controls.addEventListener("change", redraw);
  for (const button of document.querySelectorAll("[data-view]")) {
    button.addEventListener("click", () => {
      see(button.dataset.view);
      fit();
    });
  }
  for (const button of document.querySelectorAll("[data-zoom]")) {
    button.addEventListener("click", () => {
      camera.zoom *= button.dataset.zoom === "in" ? 1.5 : 1 / 1.5;
      camera.updateProjectionMatrix();
      redraw();
    });
  }
  const full = document.getElementById("full");
  const viewer = document.getElementById("viewer");
  const label = full.textContent;
  if (!viewer.requestFullscreen) full.hidden = true;
  full.addEventListener("click", () => (document.fullscreenElement ? document.exitFullscreen() : viewer.requestFullscreen()));
  document.addEventListener("fullscreenchange", () => {
    const whole = document.fullscreenElement === viewer;
    full.textContent = whole ? words("leave_full") : label;
    canvas.style.touchAction = whole ? "none" : "pan-y";
  });

  const api = {
    mark: (id) => {
      chosen = id;
      redraw();
    },
    size,
    towards,
    repaint,
    renew: () => {
      build();
      if (!points.has(chosen)) chosen = null;
      redraw();
    },
    project: (id) => {
      const there = points.get(id).map(at);
      const [a, b] = there.length === 1 ? [there[0], there[0]] : there.slice(1).map((one, index) => [there[index], one]).reduce((best, one) => (Math.hypot(one[1].x - one[0].x, one[1].y - one[0].y) > Math.hypot(best[1].x - best[0].x, best[1].y - best[0].y) ? one : best));
      const edge = canvas.getBoundingClientRect();
      // Low on a stanchion, where no hole is.
      const share = 0.15;
      return { x: edge.left + a.x + share * (b.x - a.x), y: edge.top + a.y + share * (b.y - a.y) };
    },
  };
  stage.view = api;
  build();
  size();
  see("corner");
  fit();
  repaint();
  new ResizeObserver(() => {
    size();
  }).observe(stage);
  say("");
  return api;
}
