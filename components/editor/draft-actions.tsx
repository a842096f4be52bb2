'use client'
/** What can be done with what is in hand: keep, bend, drop a point, give up. Without anything in hand, how the tool is used. */
import { Button } from '@/components/ui/button'
import styles from './bench.module.css'
import type { BenchDocument } from './document'
import { markLetter, nextMarkName } from './mark-names'
import { fewestPoints } from './tools/draw-tool'
import { toolHints } from './tool-stops'
import type { BenchTools } from './use-bench-tools'

export function DraftActions({
  tools,
  document,
  journalId,
  thumb = false,
}: {
  tools: BenchTools
  document: BenchDocument
  journalId: string
  thumb?: boolean
}) {
  const { tool, outline, trace, chosenMark } = tools
  const set = tool === 'trace' ? trace.taps.length : outline.points.length
  if (set > 0) {
    const least = tool === 'mark' || tool === 'trace' ? fewestPoints.line : fewestPoints.area
    const missing = least - set
    const bend = <Button onPress={() => tools.send({ type: 'bend' })}>{tool === 'trace' ? 'Add tap' : 'Bend'}</Button>
    const name =
      tool === 'leave-out'
        ? 'Leave this out'
        : `Keep ${tool === 'patch' ? 'patch' : 'mark'} ${markLetter({ id: nextMarkName(document, journalId), journalId })}`
    return (
      <div className={thumb ? styles.thumbActs : styles.acts} data-next-step>
        {thumb ? null : (
          <>
            {bend}
            <Button onPress={() => tools.send({ type: 'drop-point' })}>Drop point</Button>
          </>
        )}
        <Button onPress={() => tools.send({ type: 'give-up' })}>Give up</Button>
        {thumb ? (
          <>
            <Button onPress={() => tools.send({ type: 'drop-point' })}>Drop point</Button>
            {bend}
          </>
        ) : null}
        <Button
          kind="main"
          thumb={thumb}
          notYet={missing > 0 ? `${missing} more point${missing > 1 ? 's' : ''}` : undefined}
          onPress={() => tools.send({ type: 'keep' })}
        >
          {name}
        </Button>
      </div>
    )
  }
  if (tool === 'shift' && chosenMark !== null)
    return (
      <div className={thumb ? styles.thumbActs : styles.acts}>
        <Button onPress={() => tools.send({ type: 'bend' })}>Bend</Button>
        <Button onPress={() => tools.send({ type: 'drop-point' })}>Drop point</Button>
        <Button onPress={() => tools.chooseMark(null)}>Let it be</Button>
      </div>
    )
  if (tool === 'distance' && tools.distance.from)
    return (
      <div className={styles.acts}>
        <Button onPress={() => tools.send({ type: 'give-up' })}>Measure anew</Button>
      </div>
    )
  if (tool === 'trace')
    return (
      <div className={styles.acts}>
        <p className={`note ${styles.hint}`}>{toolHints.trace}</p>
        <Button onPress={() => tools.send({ type: 'bend' })}>Add tap</Button>
      </div>
    )
  return <p className={`note ${styles.hint}`}>{toolHints[tool]}</p>
}
