/** What every random test starts from: the same in each run, so that a failure can be had again. `FUZZ_SEED` tries another. */
export const seed = Number(process.env.FUZZ_SEED ?? 20_260_302);
