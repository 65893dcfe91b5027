import type { Database } from '../db/database.js';
import { modelsNotMade, modelsStopped } from '../errors/loadMessages.js';
import { mendable } from '../errors/mendable.js';
import type { Context } from './command.js';
import { modelProgress } from './progress.js';
import { withModel } from './withModel.js';

/**
 * Makes the model tables of the rows that a load has stored, so that questions find them made, in `db` where it is still open. What goes wrong is
 * a warning, for the rows stand. Returns what to say where Ctrl-C stopped it, else null.
 */
export async function makeModels(context: Context, db?: Database): Promise<string | null> {
    const { output } = context;
    const onMade = modelProgress(output);
    const plan = async () => {
        const { modelFiles } = await import('../model/sqlFile.js');
        return { needs: modelFiles().map(({ table }) => table), ask: async () => undefined };
    };
    try {
        context.signal.throwIfAborted();
        if (db === undefined) await withModel(context, plan, { onMade, isStale: true });
        else {
            const { ensureModel } = await import('../model/build.js');
            const { makersBeside } = await import('../model/openModel.js');
            await ensureModel(db, (await plan()).needs, undefined, onMade, await makersBeside(db));
        }
    } catch (error) {
        if (context.signal.aborted) return modelsStopped();
        const reason = mendable(error, context.options.memory)?.message;
        output.warn(modelsNotMade(reason ?? `a bug of Strutmark, ${(error as Error).message}.`));
    } finally {
        output.progressDone();
    }
    return null;
}
