// `npm run demo`: brings everything that is needed, then runs the demo with the Node version that this brought.
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { argv } from 'node:process';
import { environment, SetupError, setUp } from '../setup.mjs';

try {
  setUp({ programs: [] });
} catch (error) {
  if (!(error instanceof SetupError)) throw error;
  console.error(`\n${error.message}`);
  process.exit(1);
}
const demo = spawn('node', [join(import.meta.dirname, 'demo.ts'), ...argv.slice(2)], {
  stdio: 'inherit',
  // This Node runs TypeScript as it is, and says each time that this is new.
  env: { ...environment, NODE_OPTIONS: '--disable-warning=ExperimentalWarning' },
});
// Ctrl+C reaches the demo as well, which then ends in its own way; a signal to this process alone is passed on.
process.on('SIGINT', () => {});
process.on('SIGTERM', () => demo.kill('SIGTERM'));
demo.on('exit', (code) => process.exit(code ?? 0));
