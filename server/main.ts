// The language server as the extension starts it.
import { serve } from './process.ts';

serve();
