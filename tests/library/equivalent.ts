// Changes of rules that no machine can notice, each with its reason: they count neither as noticed nor as missed.

/** By rule and change, as `npm run grip` prints it. */
export const equivalent: Readonly<Record<string, string>> = {
  'too_few_guides: guides_wanted * 0.9':
    'guides are counted whole, and fewer than ten are wanted: what is more than nine tenths of them is all of them',
  'source_output_missing: source.outputs * 1.1': 'pairs of terminals are counted whole, and no supply has ten',
  'holder_softens_without_fan: 1500 degC + 10 K':
    '1500 degC stands for no end at all: no part is given a little less or more',
  'holder_softens_without_fan: 1500 degC - 10 K':
    '1500 degC stands for no end at all: no part is given a little less or more',
};
