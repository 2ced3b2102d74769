/** Where text goes: results to `out`, messages to `err`. */
export interface Io {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
}

/** Exit statuses: done; our own fault; the input's fault. */
export const DONE = 0;
export const OUR_FAULT = 1;
export const INPUT_FAULT = 2;
