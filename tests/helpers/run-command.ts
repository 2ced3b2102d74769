import { main } from '../../src/cli/main.ts';

/** Runs the command as a shell would, and returns what it says. */
export async function runCommand(...argv: string[]): Promise<{ out: string; err: string; status: number }> {
  let out = '';
  let err = '';
  const status = await main(argv, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
  });
  return { out, err, status };
}
