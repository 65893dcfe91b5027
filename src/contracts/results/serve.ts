import { z } from 'zod';
import { result } from './result.js';

export const serveRow = z.object({
    address: z.string().describe('where a browser finds the start page'),
    lan: z.boolean().describe('other machines of the network get in once they are paired'),
});

export const serveResult = result('serve', serveRow);

export type ServeRow = z.infer<typeof serveRow>;
