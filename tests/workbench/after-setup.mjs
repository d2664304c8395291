// Brings everything that is needed, then runs a script with the Node version that this brought.
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { argv } from 'node:process';
import { environment, SetupError, setUp } from '../setup.mjs';

/** Runs a TypeScript file of this folder after the set-up, and ends as it ends. `programs`: outside programs it needs. */
export function runAfterSetup(script, programs) {
  try {
    setUp({ programs });
  } catch (error) {
    if (!(error instanceof SetupError)) throw error;
    console.error(`\n${error.message}`);
    process.exit(1);
  }
  const child = spawn('node', [join(import.meta.dirname, script), ...argv.slice(2)], {
    stdio: 'inherit',
    // This Node runs TypeScript as it is, and says each time that this is new.
    env: { ...environment, NODE_OPTIONS: '--disable-warning=ExperimentalWarning' },
  });
  // Ctrl+C reaches the script as well, which then ends in its own way; a signal to this process alone is passed on.
  process.on('SIGINT', () => {});
  for (const signal of ['SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal));
  child.on('exit', (code) => process.exit(code ?? 1));
}
