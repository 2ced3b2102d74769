/**
 * What a car can do at one place at one speed: the seam between the car's physics and the solver.
 *
 * With b = v² and per unit of mass, the place is given by n0, n1 (normal load n = n0 + n1 b, the car's downforce
 * in n1) and y0, y1 (lateral demand y = y0 + y1 b); mu is the grip across, ellipse2 the square of grip along
 * over grip across. All forces are per unit of mass [m/s²].
 */

/**
 * Greatest b at which the tyres carry the lateral demand |y| ≤ mu n: the lesser root of two lines in b.
 * `NEVER` where nothing limits it, and where the car leaves the ground before the tyres give way with a
 * lateral demand there under `FLIGHT_DEMAND`. −1 where the crossfall alone takes more than the grip.
 */
export function cornerLimit(mu: number, n0: number, n1: number, y0: number, y1: number): number {
  const held = mu * n0;
  if (held < y0 || held < -y0) return -1;
  if (n1 < 0) {
    const demand = y0 - (y1 * n0) / n1; // at b = −n0/n1, where the load reaches 0
    if (demand < FLIGHT_DEMAND && demand > -FLIGHT_DEMAND) return NEVER;
  }
  let limit = NEVER;
  const toLeft = y1 - mu * n1;
  if (toLeft > 0) limit = (held - y0) / toLeft;
  const toRight = -y1 - mu * n1;
  if (toRight > 0) {
    const other = (held + y0) / toRight;
    if (other < limit) limit = other;
  }
  return limit;
}

/** Stands for no limit. A plain number: reading Infinity or NaN in here makes V8 box every result. */
export const NEVER = 1e300;

/** Lateral demand at take-off [m/s²] under which a car may leave the ground; beyond it the tyres hold it below. */
export const FLIGHT_DEMAND = 1;

/**
 * Square of the tyre force left along the road: ellipse2 ((mu n)² − y²), 0 in the air and where the demand is not met.
 * From the friction ellipse (Fx / (mux N))² + (Fy / (muy N))² = 1.
 */
export function reserve(
  mu: number,
  ellipse2: number,
  n0: number,
  n1: number,
  y0: number,
  y1: number,
  b: number,
): number {
  const n = n0 + n1 * b;
  if (n <= 0) return 0;
  const held = mu * n;
  const y = y0 + y1 * b;
  const left = ellipse2 * ((held - y) * (held + y));
  return left > 0 ? left : 0;
}

/**
 * Solves E² = reserve(c + k E) for E ≥ 0: the tyre force left at the end of a step whose end speed depends on it.
 * The reserve is a quadratic in b, so this is one too. Returns 0 where c is in the air, or beyond the limit
 * with no force that brings the car back.
 * @param k gain of b per unit of force over the step [m], > 0
 */
export function reserveAhead(
  mu: number,
  ellipse2: number,
  n0: number,
  n1: number,
  y0: number,
  y1: number,
  c: number,
  k: number,
): number {
  const n = n0 + n1 * c;
  if (n <= 0) return 0;
  const held = mu * n;
  const y = y0 + y1 * c;
  const value = ellipse2 * ((held - y) * (held + y));
  const mun1 = mu * n1;
  const halfSlope = ellipse2 * (held * mun1 - y * y1) * k; // half of d reserve/dE at E = 0
  // Beyond the limit at c: within it again with more force only where that is the way back.
  if (value <= 0 && halfSlope <= 0) return 0;
  const bend = ellipse2 * (mun1 * mun1 - y1 * y1) * k * k;
  // (1 − bend) E² − 2 halfSlope E − value = 0
  const square = halfSlope * halfSlope + (1 - bend) * value;
  if (square < 0) return 0;
  const root = Math.sqrt(square);
  return halfSlope < 0 ? value / (root - halfSlope) : (halfSlope + root) / (1 - bend);
}

/**
 * Mean over a step of a force whose square is linear along it: exact where a tyre comes off its limit
 * (the force there grows as a square root), second order elsewhere.
 */
export function meanForce(e0: number, e1: number): number {
  const sum = e0 + e1;
  return sum > 0 ? (2 * (e0 * e0 + e0 * e1 + e1 * e1)) / (3 * sum) : 0;
}
