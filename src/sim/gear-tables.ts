/**
 * The programme's tables, kept between runs, one entry a node and gear: time to the end V, dV/db, d²V/db²;
 * the speed² it is expanded about; what starting an upshift one node later would cost more.
 */
export class GearTables {
  value = new Float64Array(0);
  slope = new Float64Array(0);
  bend = new Float64Array(0);
  about = new Float64Array(0);
  later = new Float64Array(0);
  choice = new Uint8Array(0);
  limits = new Uint8Array(0); // 1: the gear's limiter is reached in the cell ahead
  landing = new Int32Array(0); // node after the end of an upshift begun here

  reserve(entries: number): void {
    if (this.value.length >= entries) return;
    const n = 2 * entries;
    this.value = new Float64Array(n);
    this.slope = new Float64Array(n);
    this.bend = new Float64Array(n);
    this.about = new Float64Array(n);
    this.later = new Float64Array(n);
    this.choice = new Uint8Array(n);
    this.landing = new Int32Array(n);
    this.limits = new Uint8Array(n);
  }
}
