import type { EngineSpec } from '../vehicle/car-spec.ts';

/** The greatest full-load power of an engine up to its limit [W]: torque (or power) is linear between rows. */
export function peakPower(engine: EngineSpec): number {
  if (engine.kind === 'constant-power') return engine.power;
  const { kind, speed, value, limit } = engine;
  let most = 0;
  for (let i = 0; i + 1 < speed.length && speed[i] < limit; i++) {
    const slope = (value[i + 1] - value[i]) / (speed[i + 1] - speed[i]);
    const zero = value[i] - slope * speed[i];
    const end = Math.min(speed[i + 1], limit);
    // (zero + slope w) w has its top at w = −zero / (2 slope)
    const top = slope < 0 ? Math.min(Math.max(-zero / (2 * slope), speed[i]), end) : end;
    for (const w of kind === 'torque' ? [speed[i], top, end] : [speed[i], end])
      most = Math.max(most, kind === 'torque' ? (zero + slope * w) * w : zero + slope * w);
  }
  return most;
}
