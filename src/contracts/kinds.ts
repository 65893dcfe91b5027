/** Every kind of file that `load` takes, in the order in which messages list them. */
export const kinds = [
    'readings',
    'kits',
    'targets',
    'sessions',
    'shafts',
    'hardware',
    'references',
    'changes',
    'rules',
] as const;
