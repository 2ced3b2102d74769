/** Where text goes: results to `out`, messages to `err`. */
export interface Io {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
}
