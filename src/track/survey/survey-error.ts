/** Positions that are read but do not make a road, or a wish that they do not fulfil. */
export class SurveyError extends Error {
  readonly help: string;
  /** Lines that belong between message and help, such as a list to choose from. */
  readonly detail: readonly string[];
  constructor(message: string, help: string, detail: readonly string[] = []) {
    super(message);
    this.name = 'SurveyError';
    this.help = help;
    this.detail = detail;
  }
}
