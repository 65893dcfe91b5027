import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

/** A module of the built program, not a copy of it: what is measured is what people run. */
export async function fromDist<T>(module: string): Promise<T> {
    return (await import(pathToFileURL(join(process.env.BENCH_ROOT!, 'dist', 'src', module)).href)) as T;
}
