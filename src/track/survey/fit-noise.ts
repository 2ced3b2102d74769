/** Noise and weights of values about a line: what both the plan and the heights are fitted with. */
import { spread } from './median.ts';
import { type Smoothed, type Values, varianceAt } from './penalised.ts';

/** Least standard deviation taken for noise [m]: what coordinates are rounded to. */
export const LEAST_NOISE = 0.01;

/**
 * Full weight to 3 standard deviations; beyond, that of Huber (1964), or, where `rejects`, falling to none at 6: the
 * three-part form of Hampel (1974). A start from afar needs the first, the end the second. (From memory.)
 */
export function robustWeight(far: number, rejects: boolean): number {
  if (far <= 3) return 1;
  if (!rejects) return 3 / far;
  return far < 6 ? (6 - far) / far : 0;
}

/**
 * Estimates the noise from the values' distance to the line, each over the share of its freedom that the line left it,
 * and weighs the values by it.
 * @param out values left out for other reasons keep weight 0 where it is 1
 * @returns standard deviation of a value [m]
 */
export function reweigh(
  values: Values,
  fit: Smoothed,
  sigma: number,
  rejects: boolean,
  out: Uint8Array,
): number {
  const { at, part, value, weight } = values;
  const n = at.length;
  const components = value.length;
  const far = new Float64Array(n);
  const scaled = new Float64Array(n * components).fill(Number.NaN);
  for (let i = 0; i < n; i++) {
    if (out[i] === 1) continue;
    const left = Math.max(0.05, 1 - varianceAt(fit, at[i], part[i]) / (sigma * sigma));
    let square = 0;
    for (let p = 0; p < components; p++) {
      const line = fit.line[p];
      const r = value[p][i] - (1 - part[i]) * line[at[i]] - part[i] * line[at[i] + 1];
      scaled[p * n + i] = r / Math.sqrt(left);
      square += r * r;
    }
    far[i] = Math.sqrt(square / components);
  }
  const next = Math.max(LEAST_NOISE, spread(scaled) || 0);
  for (let i = 0; i < n; i++) weight[i] = out[i] === 1 ? 0 : robustWeight(far[i] / next, rejects);
  return next;
}

/** Farther apart than this, the noise of two points is taken as independent [nodes]: it keeps the band narrow. */
const FAR_NODES = 14;

/**
 * Sets the correlation of each value's noise with that of the one before it, exp(−distance / length), within a pass.
 * @param h distance between nodes [m] @param length over which it falls to 1/e [m]; 0: none
 */
export function correlate(
  { at, part, weight, rho }: Values,
  pass: Int32Array,
  h: number,
  length: number,
): void {
  rho.fill(0);
  if (length === 0) return;
  let last = -1;
  for (let i = 0; i < at.length; i++) {
    if (weight[i] === 0) continue;
    if (last >= 0 && pass[i] === pass[last] && Math.abs(at[i] - at[last]) <= FAR_NODES) {
      const distance = h * Math.abs(at[i] + part[i] - at[last] - part[last]);
      rho[i] = Math.min(MOST_CORRELATION, Math.exp(-distance / length));
    }
    last = i;
  }
}

const MOST_CORRELATION = 0.98;
