// A program for ownProcess.test.ts: has the program that is named started, and says so.
import { ownProcess } from '../../dist/programs/ownProcess.js';

const [, , program, thenEnd] = process.argv;
const { ask, end } = ownProcess(program);
const own = await ask({ do: 'pid' });
const started = await ask({ do: 'start' });
console.log(JSON.stringify({ own, started }));
if (thenEnd !== undefined) end();
