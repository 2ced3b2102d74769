import type { Road } from '../track/road.ts';
import type { Car } from '../vehicle/car.ts';

/** A run as columns. N nodes; cell i runs from node i to node i + 1 at constant acceleration (or in parts). */
export interface Run {
  readonly road: Road;
  readonly car: Car;
  readonly nodes: number; //        nodes reached
  readonly v2: Float64Array; //     (nodes) speed² [m²/s²]
  readonly dt: Float64Array; //     (nodes) time over the cell that begins at the node [s]
  readonly gear: Uint8Array; //     (nodes) gear at the node, from 0
  readonly held: Uint8Array; //     (nodes) what holds the car from the node on, index into HELD_BY
}
