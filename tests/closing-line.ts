import type { Reporter, TestModule } from 'vitest/node';

/** Prints one plain line at the end, in a form that a CI reading text can count. */
export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const count = { passed: 0, failed: 0, skipped: 0, pending: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) count[test.result().state]++;
      if (module.errors().length > 0) count.failed++;
    }
    const { passed, failed, skipped, pending } = count;
    process.stdout.write(`\n${passed} passed, ${failed} failed, ${skipped + pending} skipped\n`);
  }
}
