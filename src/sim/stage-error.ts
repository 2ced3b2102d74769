/** The road and the car do not go together at one place: no forecast can be made. */
export class StageError extends Error {
  readonly station: number; // [m]
  readonly help: string;
  constructor(station: number, message: string, help: string) {
    super(`at ${(station / 1000).toFixed(3)} km: ${message}`);
    this.name = 'StageError';
    this.station = station;
    this.help = help;
  }
}
