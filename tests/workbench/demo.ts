// The demo: the real workbench in a browser, the extension installed, the examples open. Edits go to examples/ itself, so
// that git shows them.
//
//   npm run demo [-- --port 8600]
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
// @ts-expect-error: plain JavaScript, for it runs before TypeScript is there.
import { packageExtension } from '../../client/package.mjs';
import { freePort, root, startWorkbench } from './server.ts';

const USUAL_PORT = 8600;

/** The port asked for; without one the usual port, or another if something else listens there. */
async function choosePort(): Promise<number> {
  const { values } = parseArgs({ options: { port: { type: 'string' } } });
  if (values.port === undefined) return freePort(USUAL_PORT);
  const port = Number(values.port);
  if (!Number.isInteger(port) || port < 1 || port > 65535) throw new Error(`--port ${values.port} is not a port`);
  if ((await freePort(port)) !== port) throw new Error(`Something else listens on port ${port}`);
  return port;
}

async function main() {
  const port = await choosePort();
  console.log('extension: packing');
  const extension: string = await packageExtension();
  console.log(`extension: ${Math.round(statSync(extension).size / 1024)} kB, starting the workbench with it`);
  const workbench = await startWorkbench({
    extension,
    port,
    settings: { 'git.openRepositoryInParentFolders': 'always' },
  });
  console.log(`\nOpen this address in a browser:\n\n  ${workbench.address(join(root, 'examples'), 'heron.gusset')}\n`);
  console.log(
    'Write "heater is mat_230 { power = 400 W }" in place of "heater is mat_230", and watch what follows. Ctrl+C ends the demo.',
  );
  // Kept listening, so that a second Ctrl+C does not cut the clearing up short.
  await new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => resolve());
  });
  console.log('\nending the workbench');
  await workbench.stop();
}

try {
  await main();
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
}
