'use client'
/** Tells what is not saved yet and why. Saved is silent. */
import { failureSentence } from './api-client'
import { Button } from './button'
import { Notice } from './notice'
import { useSaveQueue, useSaveStatus } from './save-context'
import { currentRow, type Stuck } from './save-queue'

export function SaveLine() {
  const queue = useSaveQueue()
  const { unreachable, waiting, stuck } = useSaveStatus()
  return (
    <div aria-live="polite">
      {unreachable && waiting.length > 0 ? (
        <div className="unsaved">
          <span>
            <b>Not saved yet: the server does not answer.</b> Kept here; it will be saved when it is back.{' '}
            <span className="soft">Waiting: {namesOf(waiting.map((write) => write.label))}.</span>
          </span>
          <Button kind="flat" onPress={queue.retry}>
            Try now
          </Button>
        </div>
      ) : null}
      {stuck.map((entry) => (
        <StuckWrite
          key={entry.write.key}
          entry={entry}
          onMine={() => queue.keepMine(entry.write.key)}
          onTheirs={() => queue.keepTheirs(entry.write.key)}
        />
      ))}
    </div>
  )
}

function StuckWrite({ entry, onMine, onTheirs }: { entry: Stuck; onMine: () => void; onTheirs: () => void }) {
  const { write, failure } = entry
  if (failure.kind === 'stale')
    return (
      <Notice
        weighty
        title={`${write.label} was changed in another window while you changed it here. Both are kept until you choose.`}
        acts={
          <>
            <Button onPress={onMine}>Keep mine</Button>
            <Button onPress={onTheirs}>Keep theirs</Button>
          </>
        }
      >
        <details>
          <summary>See both</summary>
          <Differences mine={write.body} theirs={currentRow(failure.current)} />
        </details>
      </Notice>
    )
  return (
    <Notice
      weighty
      title={`${write.label} is not saved.`}
      acts={
        <>
          <Button onPress={onMine}>Try again</Button>
          <Button onPress={onTheirs}>Give this change up</Button>
        </>
      }
    >
      <p>{failureSentence(failure)}</p>
      {failure.kind === 'refused' && failure.faults.length > 0 ? (
        <ul>
          {failure.faults.map((fault) => (
            <li key={fault.path + fault.fault}>
              <code>{fault.path}</code>: {fault.fault}; {fault.remedy}
            </li>
          ))}
        </ul>
      ) : null}
    </Notice>
  )
}

function Differences({ mine, theirs }: { mine: unknown; theirs: unknown }) {
  const rows = differences(mine, theirs, '')
  if (rows.length === 0) return <p>They say the same.</p>
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">What</th>
          <th scope="col">Yours</th>
          <th scope="col">Theirs</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.path}>
            <th scope="row">{row.path}</th>
            <td>{row.mine}</td>
            <td>{row.theirs}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** Every leaf of what a person wrote that the row now holds otherwise. */
function differences(mine: unknown, theirs: unknown, path: string): { path: string; mine: string; theirs: string }[] {
  if (typeof mine === 'object' && mine !== null) {
    const other = (typeof theirs === 'object' && theirs !== null ? theirs : {}) as Record<string, unknown>
    return Object.entries(mine).flatMap(([name, value]) => differences(value, other[name], path === '' ? name : `${path} ${name}`))
  }
  return mine === theirs ? [] : [{ path, mine: String(mine ?? '–'), theirs: String(theirs ?? '–') }]
}

function namesOf(labels: string[]): string {
  const all = [...new Set(labels)]
  return all.length > 3 ? `${all.slice(0, 3).join(', ')} and ${all.length - 3} more` : all.join(', ')
}
