// `npm run screenshot`: see screenshot.ts.
import { runAfterSetup } from './after-setup.mjs';

runAfterSetup('screenshot.ts', ['chromium']);
