import { expect, test } from 'vitest';
import { questionFiles } from '../../src/model/sqlFile.js';

test.each(questionFiles().map(({ file, names, query }) => ({ file, names, query })))(
    'sql/questions/$file makes the macro of its name and no other, or who asks it would not find it',
    ({ names, query }) => {
        const made = [...query.matchAll(/create or replace temp macro (\w+)/g)].map(([, macro]) => macro);
        expect(made).toEqual(names);
    },
);
