/**
 * From latitude and longitude to metres on a plane that touches WGS 84 in the middle of the road, and back.
 *
 * Azimuthal equidistant: a point lies at its geodesic distance and azimuth from the middle. Distances from the middle
 * are exact; across them the scale is r / (R sin(r/R)) = 1 + r²/6R², under 1 + 1e-6 within 15.6 km of the middle, and a
 * road of 30 km lies within 15 km of the middle of its bounds. The plane is lifted to the road's height h, so lengths
 * are those on the ground: times 1 + h/R (1.6e-4 at 1000 m).
 * Source: Snyder, Map Projections: A Working Manual (USGS 1987), section 25; geodesics by Karney, Algorithms for
 * geodesics, J. Geodesy 87 (2013), as `geographiclib-geodesic` has them.
 */
import geographiclib from 'geographiclib-geodesic';
import type { Georeference } from '../stage.ts';

const { WGS84 } = geographiclib.Geodesic;
const RAD = Math.PI / 180;

/** Mean radius of WGS 84, (2a + b)/3 [m]. Source: Moritz, Geodetic Reference System 1980. */
export const EARTH_RADIUS = 6371008.77;

/** The plane for these positions: its origin in the middle of their bounds. The 180th meridian may lie between them. */
export function planeFor(
  parts: readonly { readonly east: Float64Array; readonly north: Float64Array }[],
  height: number,
): Georeference {
  const from = parts[0].east[0];
  let [west, east, south, north] = [0, 0, Infinity, -Infinity];
  for (const part of parts) {
    for (let i = 0; i < part.east.length; i++) {
      const off = normal(part.east[i] - from);
      if (off < west) west = off;
      if (off > east) east = off;
      if (part.north[i] < south) south = part.north[i];
      if (part.north[i] > north) north = part.north[i];
    }
  }
  // Rounded to what a stage file shows, so that the file says exactly where the origin is.
  const round = (x: number, digits: number) => Number(x.toFixed(digits));
  return {
    latitude: round((south + north) / 2, 6),
    longitude: round(normal(from + (west + east) / 2), 6),
    height: round(height, 0),
  };
}

/** Metres east and north of the origin. The columns have n values each. */
export function toPlane(
  origin: Georeference,
  longitude: Float64Array,
  latitude: Float64Array,
): { readonly x: Float64Array; readonly y: Float64Array } {
  const n = longitude.length;
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  const lift = 1 + origin.height / EARTH_RADIUS;
  const mask = geographiclib.Geodesic.DISTANCE | geographiclib.Geodesic.AZIMUTH;
  for (let i = 0; i < n; i++) {
    const line = WGS84.Inverse(origin.latitude, origin.longitude, latitude[i], longitude[i], mask);
    const length = line.s12! * lift;
    x[i] = length * Math.sin(line.azi1! * RAD);
    y[i] = length * Math.cos(line.azi1! * RAD);
  }
  return { x, y };
}

/** Latitude and longitude [deg] of a place on the plane [m]. */
export function fromPlane(
  origin: Georeference,
  x: number,
  y: number,
): { readonly latitude: number; readonly longitude: number } {
  const lift = 1 + origin.height / EARTH_RADIUS;
  const azimuth = Math.atan2(x, y) / RAD;
  const mask = geographiclib.Geodesic.LATITUDE | geographiclib.Geodesic.LONGITUDE;
  const end = WGS84.Direct(origin.latitude, origin.longitude, azimuth, Math.hypot(x, y) / lift, mask);
  return { latitude: end.lat2!, longitude: normal(end.lon2!) };
}

/** The same angle from −180 to below 180 deg. */
const normal = (degrees: number): number => degrees - 360 * Math.floor((degrees + 180) / 360);
