import { z } from 'zod';

/** Which values are shown in the lines: a master switch, and one for each kind. */
const inlineSettings = z.object({
  enabled: z.boolean().catch(true),
  headlines: z.boolean().catch(true),
  proposals: z.boolean().catch(true),
  requirements: z.boolean().catch(true),
  measurements: z.boolean().catch(true),
});
export type InlineSettings = z.infer<typeof inlineSettings>;

/** Reads the section `gusset.inlineValues` of a client's settings; what is missing or wrong there is as shipped: on. */
export function readInlineSettings(section: unknown): InlineSettings {
  return inlineSettings.parse(typeof section === 'object' && section !== null ? section : {});
}
