/** Property tests draw the same cases every time, so that a run can be repeated; THROWMARK_SEED draws others. */
import fc from 'fast-check'

fc.configureGlobal({ seed: Number(process.env.THROWMARK_SEED ?? 20261125) })
