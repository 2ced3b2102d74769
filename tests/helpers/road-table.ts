import type { RoadTable } from '../../src/track/road-table.ts';
import type { MadeRoad } from './made-track.ts';

/** A made road as a table of stations, true to its generator. */
export function tableOf(road: MadeRoad, surface = 'asphalt'): RoadTable {
  return {
    s: road.s,
    curvature: road.curvature,
    curvatureIn: 'plan',
    grade: road.grade,
    crossfall: new Float64Array(road.s.length),
    verticalCurvature: null,
    surface: new Int32Array(road.s.length),
    surfaceNames: [surface],
    xy: { x: road.x, y: road.y },
    z: road.z,
    width: null,
    assumptions: [],
  };
}
