/** Recordings of an invented road whose truth is known: its positions, and tracks of it with noise. */
import { normalFrom, randomFrom } from '../../src/numbers/random.ts';
import type { Georeference } from '../../src/track/stage.ts';
import { fromPlane } from '../../src/track/survey/local-plane.ts';

/** n places along a road, in metres on a plane. */
export interface MadeRoad {
  readonly s: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  readonly curvature: Float64Array; // in plan [1/m]
  readonly grade: Float64Array;
}

/** A stretch: its length [m], the curvature [1/m] and grade [–] at its end; both change evenly along it. */
export type Stretch = readonly [length: number, curvature: number, grade: number];

const STEP = 0.25; // [m]

/** Lays the stretches one behind the other, from (0, 0) to the north-east. Length is along the surface. */
export function layRoad(stretches: readonly Stretch[], startHeight: number): MadeRoad {
  const n = Math.round(stretches.reduce((sum, [length]) => sum + length, 0) / STEP) + 1;
  const column = () => new Float64Array(n);
  const road = { s: column(), x: column(), y: column(), z: column(), curvature: column(), grade: column() };
  road.z[0] = startHeight;
  let heading = Math.PI / 4;
  let i = 0;
  let [k0, g0] = [0, stretches[0][2]];
  road.grade[0] = g0;
  for (const [length, k1, g1] of stretches) {
    const steps = Math.round(length / STEP);
    for (let j = 1; j <= steps; j++) {
      i++;
      const k = k0 + ((k1 - k0) * j) / steps;
      const g = g0 + ((g1 - g0) * j) / steps;
      const run = STEP / Math.sqrt(1 + g * g);
      const turn = ((road.curvature[i - 1] + k) / 2) * run;
      road.s[i] = i * STEP;
      road.x[i] = road.x[i - 1] + run * Math.cos(heading + turn / 2);
      road.y[i] = road.y[i - 1] + run * Math.sin(heading + turn / 2);
      road.z[i] = road.z[i - 1] + ((road.grade[i - 1] + g) / 2) * run;
      road.curvature[i] = k;
      road.grade[i] = g;
      heading += turn;
    }
    [k0, g0] = [k1, g1];
  }
  return road;
}

/** A bend with a transition before and behind it. */
export function bend(radius: number, length: number, transition: number, grade: number): Stretch[] {
  return [
    [transition, 1 / radius, grade],
    [length, 1 / radius, grade],
    [transition, 0, grade],
  ];
}

/** Wether Lane: 1.5 km uphill with a pair of hairpins. Invented. */
export const wetherLane = layRoad(
  [
    [170, 0, 0.04],
    ...bend(90, 50, 20, 0.06),
    [80, 0, 0.07],
    ...bend(-45, 40, 20, 0.08),
    [110, 0, 0.08],
    ...bend(14, 32, 12, 0.07),
    [90, 0, 0.09],
    ...bend(-12, 27, 12, 0.07),
    [120, 0, 0.08],
    ...bend(160, 90, 30, 0.03),
    [60, 0, -0.02],
    ...bend(-60, 45, 20, -0.03),
    [140, 0, 0.01],
    ...bend(30, 22, 15, 0.02),
    [120, 0, 0.03],
  ],
  212,
);

/** In the open sea, where no road is. */
export const AT_SEA: Georeference = { latitude: 47, longitude: -30, height: 0 };

export interface TrackOptions {
  readonly seed: number;
  readonly spacing: number; // between points [m]
  readonly noise: number; //   standard deviation east and north [m], half of it wandering over some 60 m
  readonly back?: boolean; //  driven from the finish to the start
  readonly heights?: boolean; // default true; noise in height is twice that in plan
}

export interface TrackPoint {
  readonly lat: number;
  readonly lon: number;
  readonly ele: number | null;
  readonly time: string;
}

/** One drive along the road as a receiver records it. */
export function recorded(road: MadeRoad, at: Georeference, options: TrackOptions): TrackPoint[] {
  const { seed, spacing, noise, back = false, heights = true } = options;
  const normal = normalFrom(randomFrom(seed));
  const points: TrackPoint[] = [];
  const every = Math.round(spacing / STEP);
  const keep = Math.exp(-spacing / 60);
  const wander = [normal(), normal(), normal()];
  const start = Date.UTC(2026, 4, 1 + seed, 6, 30);
  const last = road.s.length - 1;
  const count = Math.ceil(last / every) + 1; // the end of the road is recorded too
  for (let k = 0; k < count; k++) {
    const i = Math.min(k * every, last);
    const j = back ? last - i : i;
    const off = wander.map((w, c) => {
      wander[c] = keep * w + Math.sqrt(1 - keep * keep) * normal();
      return Math.SQRT1_2 * noise * (wander[c] + normal());
    });
    const { latitude, longitude } = fromPlane(at, road.x[j] + off[0], road.y[j] + off[1]);
    points.push({
      lat: latitude,
      lon: longitude,
      ele: heights ? road.z[j] + 2 * off[2] : null,
      time: new Date(start + 500 * k).toISOString().replace(/\.000Z$/, 'Z'),
    });
  }
  return points;
}

/** Tracks as GPX 1.1. */
export function gpxText(
  tracks: readonly { readonly name: string; readonly points: readonly TrackPoint[] }[],
): string {
  const lines = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<gpx version="1.1" creator="made" xmlns="http://www.topografix.com/GPX/1/1">',
  ];
  for (const { name, points } of tracks) {
    lines.push(`<trk><name>${name}</name><trkseg>`);
    for (const { lat, lon, ele, time } of points) {
      const height = ele === null ? '' : `<ele>${ele.toFixed(1)}</ele>`;
      lines.push(
        `<trkpt lat="${lat.toFixed(7)}" lon="${lon.toFixed(7)}">${height}<time>${time}</time></trkpt>`,
      );
    }
    lines.push('</trkseg></trk>');
  }
  lines.push('</gpx>', '');
  return lines.join('\n');
}

/** What stages/wether-lane/recce.gpx holds: the lane driven up and, some days later, down. */
export const wetherLaneGpx = () =>
  gpxText([
    { name: 'Wether Lane', points: recorded(wetherLane, AT_SEA, { seed: 1, spacing: 5, noise: 0.4 }) },
    {
      name: 'Wether Lane, back',
      points: recorded(wetherLane, AT_SEA, { seed: 4, spacing: 5, noise: 0.4, back: true }),
    },
  ]);
