import type { AskOptions, Question } from '../library/askModel.js';
import type { Context } from './command.js';

/** Asks the database that the command names; what is wrong with the options is to be said before. */
export async function withModel<T>(
    context: Context,
    question: Question<T>,
    options: Pick<AskOptions, 'paths' | 'onMade' | 'isStale'> = {},
): Promise<T> {
    const { askModel } = await import('../library/askModel.js');
    const { opening } = await import('./opening.js');
    const { modelProgress } = await import('./progress.js');
    const { db: file, readings } = context.options;
    const { output } = context;
    return askModel(file, question, {
        ...(output.isLive && { onMade: modelProgress(output) }),
        ...options,
        ...opening(context),
        readings,
        onOpened: () => output.progressDone(),
    });
}
