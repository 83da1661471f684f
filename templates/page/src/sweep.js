// Meshes of tubes swept along an axis, and of surfaces.

import { BufferGeometry, Float32BufferAttribute, Vector3 } from "three";

const SIDES = 10;
// Light from above and outboard to starboard, and from everywhere.
const SUN = new Vector3(0.4, 0.7, 1).normalize();
const shade = (normal) => (1.4 + 2 * Math.max(0, normal.dot(SUN))) / Math.PI;

/** Return the mesh of a tube along points [mm] with a radius [mm]. */
export function tube(points, radius) {
  const axis = points.map((at) => new Vector3(...at));
  const positions = [];
  const colours = [];
  const index = [];
  let across = null;
  axis.forEach((at, row) => {
    const along = new Vector3().subVectors(axis[Math.min(row + 1, axis.length - 1)], axis[Math.max(row - 1, 0)]).normalize();
    // The frame of the row before, turned no more than the bend requires.
    const start = across ?? (Math.abs(along.z) < 0.9 ? new Vector3(0, 0, 1) : new Vector3(1, 0, 0));
    across = start.clone().addScaledVector(along, -start.dot(along)).normalize();
    const other = new Vector3().crossVectors(along, across);
    for (let side = 0; side < SIDES; side += 1) {
      const turn = (2 * Math.PI * side) / SIDES;
      const out = across.clone().multiplyScalar(Math.cos(turn)).addScaledVector(other, Math.sin(turn));
      colours.push(...new Array(3).fill(shade(out)));
      positions.push(at.x + radius * out.x, at.y + radius * out.y, at.z + radius * out.z);
      if (row > 0) {
        const [a, b] = [row * SIDES + side, row * SIDES + ((side + 1) % SIDES)];
        index.push(a - SIDES, a, b - SIDES, a, b, b - SIDES);
      }
    }
  });
  const mesh = new BufferGeometry();
  mesh.setAttribute("position", new Float32BufferAttribute(positions, 3));
  mesh.setAttribute("color", new Float32BufferAttribute(colours, 3));
  mesh.setIndex(index);
  return mesh;
}

/** Return the mesh of a surface between pairs of points [mm]. */
export function surface(pairs) {
  const positions = pairs.flat(2);
  const index = [];
  for (let row = 0; row + 1 < pairs.length; row += 1) index.push(2 * row, 2 * row + 1, 2 * row + 2, 2 * row + 1, 2 * row + 3, 2 * row + 2);
  const mesh = new BufferGeometry();
  mesh.setAttribute("position", new Float32BufferAttribute(positions, 3));
  mesh.setAttribute("color", new Float32BufferAttribute(positions.map(() => 1), 3));
  mesh.setIndex(index);
  return mesh;
}
