/** Positions on WGS 84, their distances, and the plane that a surveyed road is laid on. */
import { describe, expect, it, test } from 'vitest';
import type { Georeference } from '../../src/track/stage.ts';
import { EARTH_RADIUS, fromPlane, planeFor, toPlane } from '../../src/track/survey/local-plane.ts';
import { readData } from '../helpers/validation.ts';

/** Distance on WGS 84 [m]: that from the origin of a plane laid at the one position to the other. */
function geodesicLength(lat1: number, lon1: number, lat2: number, lon2: number): number {
  const at = { latitude: lat1, longitude: lon1, height: 0 };
  const { x, y } = toPlane(at, Float64Array.of(lon2), Float64Array.of(lat2));
  return Math.hypot(x[0], y[0]);
}

describe('geodesics', () => {
  // Karney, geodtest.c of GeographicLib. They are accurate to 15 nm (Karney 2013, abstract), the last printed digits
  // are finer than that.
  it.each(readData('geodesic_lines.csv'))('$lat1, $lon1 to $lat2, $lon2: $s12_m_published m', (row) => {
    const length = geodesicLength(
      Number(row['lat1']),
      Number(row['lon1']),
      Number(row['lat2']),
      Number(row['lon2']),
    );
    expect(Math.abs(length - Number(row['s12_m_published']))).toBeLessThan(15e-9);
  });

  // GeographicLib's documentation of the utility Geod: JFK to CDG, printed to the metre.
  test('JFK to CDG', () => {
    expect(geodesicLength(40.6, -73.8, 49.01666667, 2.55).toFixed(0)).toBe('5853226');
  });

  // Worked out by two methods (series and numerical integration), printed to 1e-6 m.
  it.each([
    [0, '110.574276', '111.319491'],
    [35, '110.940584', '91.288170'],
    [45, '111.131787', '78.846835'],
    [60, '111.412296', '55.800002'],
  ])('0.001 deg at latitude %s: %s m north, %s m east', (lat, north, east) => {
    expect(geodesicLength(lat, 7, lat + 0.001, 7).toFixed(6)).toBe(north);
    expect(geodesicLength(lat, 7, lat, 7.001).toFixed(6)).toBe(east);
  });

  test('a short line across, printed to 1e-6 m (as above)', () => {
    expect(geodesicLength(60, 7, 60.001, 7.002).toFixed(6)).toBe('157.692373');
  });

  // The quarter meridian of WGS 84, 10 001 965.7293 m (as above).
  test('from the equator to the pole', () => {
    expect(geodesicLength(0, 12, 90, 12).toFixed(4)).toBe('10001965.7293');
  });
});

/** Longitudes and latitudes of places on a ring round a middle. */
function ring(at: Georeference, radius: number, azimuths: readonly number[]) {
  const places = azimuths.map((a) => fromPlane(at, radius * Math.sin(a), radius * Math.cos(a)));
  return {
    east: Float64Array.from(places, (p) => p.longitude),
    north: Float64Array.from(places, (p) => p.latitude),
  };
}

describe('the plane of a road', () => {
  const middles: Georeference[] = [
    { latitude: 0, longitude: 0, height: 0 },
    { latitude: 47, longitude: 7, height: 0 },
    { latitude: -35, longitude: 180, height: 0 },
    { latitude: 69, longitude: -179.99, height: 0 },
  ];

  it.each(middles)('is true to 1e-6 within 15 km of $latitude, $longitude, in every direction', (at) => {
    for (const radius of [1, 5_000, 15_000]) {
      for (let a = 0; a < 2 * Math.PI; a += 0.3) {
        // Steps of 20 m outwards, across and askew, there and back through the projection.
        const [x, y] = [radius * Math.sin(a), radius * Math.cos(a)];
        for (let b = 0; b < Math.PI; b += 0.5) {
          const [p, q] = [fromPlane(at, x, y), fromPlane(at, x + 20 * Math.sin(b), y + 20 * Math.cos(b))];
          const onEarth = geodesicLength(p.latitude, p.longitude, q.latitude, q.longitude);
          expect(Math.abs(20 / onEarth - 1)).toBeLessThan(1e-6);
        }
      }
    }
  });

  it.each(middles)('leads back to the position at $latitude, $longitude', (at) => {
    const { east, north } = ring(at, 14_000, [0, 1, 2, 3, 4, 5, 6]);
    const { x, y } = toPlane(at, east, north);
    for (let i = 0; i < x.length; i++) {
      expect(Math.hypot(x[i] - 14_000 * Math.sin(i), y[i] - 14_000 * Math.cos(i))).toBeLessThan(1e-6);
    }
  });

  test('lies in the middle of the positions, across the 180th meridian too', () => {
    const line = { east: Float64Array.of(179.9, -179.9), north: Float64Array.of(-17, -16.8) };
    expect(planeFor([line], 0)).toEqual({ latitude: -16.9, longitude: -180, height: 0 });
    const { x } = toPlane(planeFor([line], 0), line.east, line.north);
    expect(x[1] - x[0]).toBeCloseTo(geodesicLength(-16.9, 179.9, -16.9, -179.9), -1);
  });

  // On a ball of radius R a length at height h is 1 + h/R times that at the sea.
  test('lies at the height of the road', () => {
    const at = { latitude: 46, longitude: 7, height: 2000 };
    const place = [Float64Array.of(7.1), Float64Array.of(46.05)] as const;
    const { x, y } = toPlane(at, ...place);
    const low = toPlane({ ...at, height: 0 }, ...place);
    expect(Math.hypot(x[0], y[0]) / Math.hypot(low.x[0], low.y[0])).toBeCloseTo(1 + 2000 / EARTH_RADIUS, 12);
    const back = fromPlane(at, x[0], y[0]);
    expect(back.longitude).toBeCloseTo(7.1, 10);
    expect(back.latitude).toBeCloseTo(46.05, 10);
  });
});
