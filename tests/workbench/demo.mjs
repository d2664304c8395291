// `npm run demo`: see demo.ts. It is looked at in the user's own browser, so it needs no outside program.
import { runAfterSetup } from './after-setup.mjs';

runAfterSetup('demo.ts', []);
