/** A stretch of one line of a file. */
export interface Place {
  readonly file: string;
  readonly line: number; //   from 1; 0 where the fault is of the file as a whole
  readonly col: number; //    from 1, in UTF-16 units
  readonly length: number; // columns marked
  readonly source: string; // the line as written, '' where there is none
}

/** A fault in an input, as data. Tests and docs go by `code`; `source` is the line as written. */
export interface Diagnostic extends Place {
  readonly severity: 'error' | 'warning';
  readonly code: string;
  readonly message: string;
  readonly help: string;
}

/** Thrown by every reader: all that is wrong with the input, not only the first fault. */
export class InputError extends Error {
  readonly diagnostics: readonly Diagnostic[];
  constructor(diagnostics: readonly Diagnostic[]) {
    super(diagnostics.map((d) => `${d.file}:${d.line}:${d.col}: ${d.severity}: ${d.message}`).join('\n'));
    this.name = 'InputError';
    this.diagnostics = diagnostics;
  }
}
