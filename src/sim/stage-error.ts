/** The road and the car do not go together at one place: no forecast can be made. */
export class StageError extends Error {
  readonly station: number; // [m]
  readonly help: string;
  /** The fault is the start's as the stage states it, not the road's at that place. */
  readonly ofStart: boolean;
  constructor(station: number, message: string, help: string, ofStart = false) {
    super(ofStart ? message : `at ${(station / 1000).toFixed(3)} km: ${message}`);
    this.name = 'StageError';
    this.station = station;
    this.help = help;
    this.ofStart = ofStart;
  }
}
