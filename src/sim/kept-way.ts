import type { Stretch } from './drive-sweep.ts';
import { GearChanges, Parts, type Workspace } from './workspace.ts';

/** A stretch as it was driven before, while another way is tried. */
export class KeptWay {
  from = 0;
  to = 0;
  entered = 0; // gear that it was entered with
  private v2 = new Float64Array(0);
  private dt = new Float64Array(0);
  private gear = new Uint8Array(0);
  private held = new Uint8Array(0);
  private readonly parts = new Parts();
  readonly changes = new GearChanges();
  private firstPart = 0;
  private firstChange = 0;

  take(ws: Workspace, stretch: Stretch, firstPart: number, firstChange: number): void {
    const { from, to } = stretch;
    const nodes = to - from + 1;
    if (this.v2.length < nodes) {
      this.v2 = new Float64Array(2 * nodes);
      this.dt = new Float64Array(2 * nodes);
      this.gear = new Uint8Array(2 * nodes);
      this.held = new Uint8Array(2 * nodes);
    }
    for (let k = 0, i = from; i < to; i++, k++) {
      this.v2[k] = ws.v2[i + 1];
      this.dt[k] = ws.dt[i];
      this.gear[k] = ws.gear[i];
      this.held[k] = ws.held[i];
    }
    this.parts.count = 0;
    const { cell, held, time: partTime, count } = ws.parts;
    for (let p = firstPart; p < count; p++) this.parts.push(cell[p], held[p], partTime[p]);
    this.from = from;
    this.to = to;
    this.entered = stretch.gear;
    this.changes.take(ws.changes, firstChange);
    this.firstPart = firstPart;
    this.firstChange = firstChange;
  }

  dtAt(node: number): number {
    return this.dt[node - this.from];
  }

  heldAt(node: number): number {
    return this.held[node - this.from];
  }

  /** Speed² at a node after the first. */
  v2At(node: number): number {
    return this.v2[node - this.from - 1];
  }

  restore(ws: Workspace, stretch: Stretch): void {
    for (let k = 0, i = this.from; i < this.to; i++, k++) {
      ws.v2[i + 1] = this.v2[k];
      ws.dt[i] = this.dt[k];
      ws.gear[i] = this.gear[k];
      ws.held[i] = this.held[k];
    }
    ws.parts.count = this.firstPart;
    const { cell, held, time, count } = this.parts;
    for (let p = 0; p < count; p++) ws.parts.push(cell[p], held[p], time[p]);
    ws.changes.count = this.firstChange;
    for (let c = 0; c < this.changes.count; c++)
      ws.changes.push(this.changes.station[c], this.changes.gear[c]);
    stretch.to = this.to;
    stretch.gear = this.entered;
    stretch.stopped = -1;
  }
}
