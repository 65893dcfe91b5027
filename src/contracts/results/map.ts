import { z } from 'zod';
import { result, textOrNull } from './result.js';

const previewRow = z.object({
    line: z.int().min(1).describe('physical line of the file'),
    problem: textOrNull.describe('why the row would be set aside'),
    values: z
        .record(z.string(), z.union([z.string(), z.number(), z.null()]))
        .describe('our columns; cells as they stand in the file where the map asks'),
});

export const mapRow = z.object({
    file: z.string(),
    map_file: textOrNull.describe('where the map was written; null = nowhere'),
    map: z.string().describe('the map, YAML'),
    questions: z.array(z.object({ line: z.int().min(1), key: z.string(), question: z.string() })),
    preview: z.array(previewRow),
});

export const mapResult = result('map', mapRow);

export type MapRow = z.infer<typeof mapRow>;
export type PreviewRow = z.infer<typeof previewRow>;
