import * as z from 'zod/mini';

/** Which values are shown in the lines: a master switch, and one for each kind. */
const inlineSettings = z.object({
  enabled: z.catch(z.boolean(), true),
  headlines: z.catch(z.boolean(), true),
  proposals: z.catch(z.boolean(), true),
  requirements: z.catch(z.boolean(), true),
  measurements: z.catch(z.boolean(), true),
});
export type InlineSettings = z.infer<typeof inlineSettings>;

/** Reads the section `gusset.inlineValues` of a client's settings; what is missing or wrong there is as shipped: on. */
export function readInlineSettings(section: unknown): InlineSettings {
  return inlineSettings.parse(typeof section === 'object' && section !== null ? section : {});
}

/** Reads `gusset.checkUnopenedFiles`, as shipped on: are files of the client's folders checked that nobody has open? */
export function readCheckUnopened(value: unknown): boolean {
  return value !== false;
}
