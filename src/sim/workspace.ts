/** What held the car, in the order of the columns of the sector table. */
export const HELD_BY = [
  'bend',
  'traction',
  'drive',
  'brakeGrip',
  'brakeForce',
  'limiter',
  'shift',
  'air',
] as const;
export type HeldBy = (typeof HELD_BY)[number];

export const BEND = 0;
export const TRACTION = 1;
export const DRIVE = 2;
export const BRAKE_GRIP = 3;
export const BRAKE_FORCE = 4;
export const LIMITER = 5;
export const SHIFT = 6;
export const AIR = 7;

/**
 * The solver's columns, kept between runs: filling fresh arrays costs several times a solve.
 * Nodes and cells share the index: cell i runs from node i to node i + 1.
 */
export class Workspace {
  capacity = 0;
  limitV2 = new Float64Array(0); // (nodes) speed² that the bend allows
  brakeV2 = new Float64Array(0); // (nodes) speed² from which the car can still be slowed for all that follows
  brakeHeld = new Uint8Array(0); // (cells) what holds the car that follows brakeV2 over the cell
  v2 = new Float64Array(0); //      (nodes) the answer: speed²
  dt = new Float64Array(0); //      (cells) time over the cell [s]
  gear = new Uint8Array(0); //      (cells) gear at the cell's start, from 0
  held = new Uint8Array(0); //      (cells) what held the car at the cell's start
  /** Changes of gear planned for the stretch under way. */
  readonly plan = new GearChanges();
  /** Changes of gear made under drive, of the whole run. */
  readonly changes = new GearChanges();
  /** Cells in which what holds the car changes: one entry a part, in order of distance. */
  readonly parts = new Parts();

  /** Makes room for `nodes` nodes. Contents are not kept. */
  reserve(nodes: number): void {
    if (nodes <= this.capacity) return;
    this.capacity = nodes;
    this.limitV2 = new Float64Array(nodes);
    this.brakeV2 = new Float64Array(nodes);
    this.brakeHeld = new Uint8Array(nodes);
    this.v2 = new Float64Array(nodes);
    this.dt = new Float64Array(nodes);
    this.gear = new Uint8Array(nodes);
    this.held = new Uint8Array(nodes);
  }
}

/** Times of the parts of divided cells. */
export class Parts {
  count = 0;
  cell = new Int32Array(64);
  held = new Uint8Array(64);
  time = new Float64Array(64);

  push(cell: number, held: number, time: number): void {
    const n = this.count;
    if (n === this.cell.length) this.grow();
    this.cell[n] = cell;
    this.held[n] = held;
    this.time[n] = time;
    this.count = n + 1;
  }

  private grow(): void {
    const cell = new Int32Array(2 * this.cell.length);
    const held = new Uint8Array(cell.length);
    const time = new Float64Array(cell.length);
    cell.set(this.cell);
    held.set(this.held);
    time.set(this.time);
    this.cell = cell;
    this.held = held;
    this.time = time;
  }
}

/** Changes of gear in order of distance. */
export class GearChanges {
  count = 0;
  station = new Float64Array(64); // where it begins [m]
  gear = new Uint8Array(64); //      gear changed to, from 0: one up or one down

  push(station: number, gear: number): void {
    const n = this.count;
    if (n === this.gear.length) this.grow();
    this.station[n] = station;
    this.gear[n] = gear;
    this.count = n + 1;
  }

  /** Takes over the changes of another list from its entry `first` on, in place of its own. */
  take({ count, station, gear }: GearChanges, first: number): void {
    this.count = 0;
    for (let i = first; i < count; i++) this.push(station[i], gear[i]);
  }

  private grow(): void {
    const station = new Float64Array(2 * this.gear.length);
    const gear = new Uint8Array(station.length);
    station.set(this.station);
    gear.set(this.gear);
    this.station = station;
    this.gear = gear;
  }
}
