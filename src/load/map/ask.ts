/** Stands in a map for an answer that only the user can give. */
export const ASK = 'ASK';
