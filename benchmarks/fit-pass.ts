import { normalFrom, randomFrom } from '../src/numbers/random.ts';
import type { Pass } from '../src/track/survey/pass.ts';
import { windingRoad } from './road.ts';

/** Noise of a point in each of x, y and z [m]. */
export const NOISE = 0.5;

/** A pass of `n` points, a metre apart, along the invented winding road. */
export function windingPass(n: number): Pass {
  const { s, curvature, grade } = windingRoad(Math.max(1, n / 1000));
  const normal = normalFrom(randomFrom(7));
  const column = () => new Float64Array(n);
  const pass = { x: column(), y: column(), z: column(), time: column().fill(Number.NaN) };
  const STEPS = 10;
  let [x, y, z, heading, row] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    pass.x[i] = x + NOISE * normal();
    pass.y[i] = y + NOISE * normal();
    pass.z[i] = z + NOISE * normal();
    for (let part = 0; part < STEPS; part++) {
      const at = i + (part + 0.5) / STEPS;
      while (row + 2 < s.length && s[row + 1] <= at) row++;
      const f = (at - s[row]) / (s[row + 1] - s[row]);
      const turn = (curvature[row] + f * (curvature[row + 1] - curvature[row])) / STEPS;
      heading += turn / 2;
      x += Math.cos(heading) / STEPS;
      y += Math.sin(heading) / STEPS;
      heading += turn / 2;
      z += (grade[row] + f * (grade[row + 1] - grade[row])) / STEPS;
    }
  }
  return { ...pass, begins: new Uint8Array(n), width: null };
}
