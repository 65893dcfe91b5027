/** Directions of `advise --most`. */
export const mostDirections = [
    'negative-camber',
    'positive-camber',
    'positive-caster',
    'negative-caster',
] as const;
