/** Changes that change nothing that anyone sees: `was` became `is` in a file, and why nothing changes. */
export const equivalent: readonly { file: string; was: string; is: string; why: string }[];
