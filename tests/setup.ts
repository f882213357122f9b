// Property tests draw the same cases in every run, so that a failure can be repeated; FC_SEED explores others.
import fc from 'fast-check';

fc.configureGlobal({ seed: Number(process.env['FC_SEED'] ?? 20_260_101) });
