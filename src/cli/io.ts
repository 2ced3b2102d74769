/** Where text goes: results to `out`, messages to `err`. */
export interface Io {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** Whether messages go to a terminal, where a line can be written over. */
  readonly terminal?: boolean;
}

/** Exit statuses: done; our own fault; the input's fault. */
export const DONE = 0;
export const OUR_FAULT = 1;
export const INPUT_FAULT = 2;
/** Ended by Ctrl-C: 128 and the number of the signal, as shells have it. */
export const STOPPED = 130;
