'use client'
/** Nothing on the bench yet: what this is for, the two ways to begin, three steps. */
import { useRouter } from 'next/navigation'
import { type ReactNode, useState } from 'react'
import { z } from 'zod'
import { type ApiFailure, apiRequest, failureSentence } from '@/components/ui/api-client'
import { Button, ButtonLink } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { ShaftDrawing } from '@/components/setup/shaft-drawing'
import { plannedJournals } from '@/components/setup/shaft-layout'
import { ImportFile } from './import-file'
import { SampleMap } from './sample-map'
import styles from './shafts.module.css'

const exampleSchema = z.object({ shaftId: z.uuid() })
const drawn = plannedJournals({ cylinders: 4, throws: 'one', mainsEvery: 1 }).map((journal) => ({
  ...journal,
  diameter: null,
  width: null,
}))

export function EmptyBench({ notices }: { notices: ReactNode }) {
  const router = useRouter()
  const [opening, setOpening] = useState(false)
  const [failure, setFailure] = useState<ApiFailure | null>(null)

  async function openExample() {
    setOpening(true)
    const answer = await apiRequest(exampleSchema, { method: 'POST', path: '/api/example' })
    if (answer.ok) return router.push(`/shafts/${answer.value.shaftId}/bench`)
    setFailure(answer.reason)
    setOpening(false)
  }

  return (
    <div className={styles.empty}>
      <div className={styles.emptyNotices}>{notices}</div>
      <div className={styles.emptyDrawing}>
        <div className={styles.emptyShaft}>
          <ShaftDrawing journals={drawn} label="A four-cylinder shaft from the side: five mains, four pins" />
        </div>
        <SampleMap />
      </div>
      <div className={styles.emptyWords}>
        <h1>Where does the line lie, and how does it run?</h1>
        <p>
          Photograph a cleaned journal, fit it, and lay its surface out flat. You see each mark’s true angle and its distance to fillet and
          oil hole, and the one test that would settle it.
        </p>
        <div className={styles.emptyActs}>
          <ButtonLink kind="main" thumb href="/shafts/new">
            Put a shaft on the bench
          </ButtonLink>
          <Button thumb onPress={openExample} notYet={opening ? 'Opening the example shaft …' : undefined}>
            Open the example shaft
          </Button>
        </div>
        {failure ? (
          <Notice weighty urgent title="The example shaft could not be opened.">
            <p>{failureSentence(failure)}</p>
          </Notice>
        ) : null}
        <ol className={styles.steps}>
          <li>
            <b>1</b>Degrease, dry, and hold the lamp low along the journal.
          </li>
          <li>
            <b>2</b>Measure each journal. Type the readings in mm or inch.
          </li>
          <li>
            <b>3</b>Six to eight photographs round the journal, both cheeks in view.
          </li>
        </ol>
        <ImportFile />
      </div>
    </div>
  )
}
