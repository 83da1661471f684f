// What a tap selects: the nearest hole, stanchion or line on screen.

const REACH = 11;
const APART = 24;
// Of two equally near on screen the one nearer to the viewer is selected [px over the depth of the boat].
const DEPTH = 8;

function toSegment(p, a, b) {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const share = Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy || 1)));
  return { off: Math.hypot(p.x - a.x - share * dx, p.y - a.y - share * dy), deep: a.deep + share * (b.deep - a.deep) };
}

function toChain(p, points) {
  if (points.length === 1) return { off: Math.hypot(p.x - points[0].x, p.y - points[0].y), deep: points[0].deep };
  return points.slice(1).map((b, index) => toSegment(p, points[index], b)).reduce((best, one) => (one.off < best.off ? one : best));
}

/** Return everything within reach of a tap, the likeliest first. */
export function near(p, scene, at) {
  const found = [];
  const posts = new Map(scene.posts.map((post) => [post.id, post.points.map(at)]));
  const add = (id, points, before) => {
    const { off, deep } = toChain(p, points);
    if (off <= REACH) found.push({ id, rank: off + DEPTH * deep - before });
  };
  for (const hole of scene.holes) {
    const here = at(hole.at);
    const others = scene.holes.filter((one) => one.post === hole.post && one !== hole).map((one) => at(one.at));
    const least = Math.min(...[...others, posts.get(hole.post)[0]].map((one) => Math.hypot(one.x - here.x, one.y - here.y)));
    // In a distant view a hole would cover its stanchion: then the stanchion is selected.
    if (least >= APART) add(hole.id, [here], REACH);
  }
  for (const [id, points] of posts) add(id, points, 4);
  for (const run of scene.runs) add(run.id, run.points.map(at), 0);
  return found.sort((a, b) => a.rank - b.rank).map((one) => one.id);
}
