import { createRequire } from 'node:module';

/** What package `name` exports; the bundled program has its own way (scripts/bundle.mjs). */
export const requirePackage: (name: string) => unknown = createRequire(import.meta.url);
