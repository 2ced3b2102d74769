#!/usr/bin/env node
import { main } from './main.ts';

// A reader that has seen enough, as in `splitcast help | head`, closes the pipe: nothing is wrong then.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
  process.exit();
});

process.exitCode = await main(process.argv.slice(2), {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  terminal: process.stderr.isTTY === true,
});
