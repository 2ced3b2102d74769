import { describe, expect, test } from 'vitest';
import { airDensity, geopotential, isaPressure, isaTemperature } from '../../src/track/air-density.ts';

describe('standard atmosphere', () => {
  // ISO 2533:1975 by its formula, as tabulated to six digits; the second pressure is at the geometric height.
  // Cross-checked against a published table (engineeringtoolbox.com, U.S. standard atmosphere): 0.8988 bar at 1000 m,
  // 0.7950 bar at 2000 m, 0.7012 bar at 3000 m, all geometric.
  test.each([
    { H: 0, T: 288.15, p: 1013.25, rho: 1.225, pz: 1013.25, rhoz: 1.225 },
    { H: 500, T: 284.9, p: 954.608, rho: 1.167269, pz: 954.613, rhoz: 1.167273 },
    { H: 1000, T: 281.65, p: 898.746, rho: 1.111643, pz: 898.763, rhoz: 1.11166 },
    { H: 1500, T: 278.4, p: 845.56, rho: 1.058067, pz: 845.597, rhoz: 1.058104 },
    { H: 2000, T: 275.15, p: 794.952, rho: 1.00649, pz: 795.014, rhoz: 1.006554 },
    { H: 3000, T: 268.65, p: 701.085, rho: 0.909122, pz: 701.211, rhoz: 0.909254 },
  ])('at $H m', ({ H, T, p, rho, pz, rhoz }) => {
    expect(Math.abs(isaTemperature(H) - T)).toBeLessThan(0.0005);
    expect(Math.abs(isaPressure(H) / 100 - p)).toBeLessThan(0.0005);
    expect(Math.abs(airDensity(H) - rho)).toBeLessThan(5e-7);
    expect(Math.abs(isaPressure(geopotential(H)) / 100 - pz)).toBeLessThan(0.0005);
    expect(Math.abs(airDensity(geopotential(H)) - rhoz)).toBeLessThan(5e-7);
  });

  test('a warmer day has thinner air, by the ideal gas law', () => {
    expect(airDensity(0, 293.15)).toBeCloseTo(101_325 / (287.05287 * 293.15), 12);
  });
});
