-- CreateTable
CREATE TABLE "Lift" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "shaftId" TEXT NOT NULL,
    "journalId" TEXT NOT NULL,
    "fileSha256" TEXT NOT NULL,
    "heldName" TEXT,
    "name" TEXT NOT NULL,
    "document" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "version" INTEGER NOT NULL,
    "updatedAt" DATETIME NOT NULL,
    "removedAt" DATETIME,
    "removedWith" TEXT,
    CONSTRAINT "Lift_shaftId_fkey" FOREIGN KEY ("shaftId") REFERENCES "Shaft" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Lift_journalId_fkey" FOREIGN KEY ("journalId") REFERENCES "Journal" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Lift_fileSha256_fkey" FOREIGN KEY ("fileSha256") REFERENCES "PhotoFile" ("sha256") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "Lift_shaftId_position_idx" ON "Lift"("shaftId", "position");

-- CreateIndex
CREATE INDEX "Lift_journalId_idx" ON "Lift"("journalId");

-- CreateIndex
CREATE INDEX "Lift_fileSha256_idx" ON "Lift"("fileSha256");

-- CreateIndex
CREATE UNIQUE INDEX "Lift_shaftId_heldName_key" ON "Lift"("shaftId", "heldName");
