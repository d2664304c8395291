// The language server as the extension starts it.
import { serve } from './server.ts';

serve();
