BEGIN TRANSACTION;
CREATE TABLE action (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	material VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0007');
CREATE TABLE alias (
	id INTEGER NOT NULL, 
	trimmer_id INTEGER NOT NULL, 
	heard VARCHAR NOT NULL, 
	term VARCHAR NOT NULL, 
	taught_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(trimmer_id) REFERENCES trimmer (id), 
	UNIQUE (trimmer_id, heard)
);
CREATE TABLE animal (
	id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	number VARCHAR NOT NULL, 
	eid VARCHAR, 
	ear_tag VARCHAR, 
	name VARCHAR, 
	lactation INTEGER, 
	calved_on DATE, 
	dried_off_on DATE, 
	status VARCHAR NOT NULL, 
	on_roster BOOLEAN NOT NULL, 
	merged_into_id INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(merged_into_id) REFERENCES animal (id)
);
INSERT INTO "animal" VALUES(1,1,'412',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
INSERT INTO "animal" VALUES(2,1,'9',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
INSERT INTO "animal" VALUES(3,1,'12',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
INSERT INTO "animal" VALUES(4,1,'8',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
CREATE TABLE clip (
	id INTEGER NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	visit_id INTEGER NOT NULL, 
	file_name VARCHAR NOT NULL, 
	suffix VARCHAR NOT NULL, 
	seconds FLOAT NOT NULL, 
	source_rate INTEGER NOT NULL, 
	channels INTEGER NOT NULL, 
	recorded_at DATETIME, 
	recorded_from VARCHAR NOT NULL, 
	taken_in_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (sha256)
);
INSERT INTO "clip" VALUES(1,'69722e617e677094f88c6071a4f5fe0ebaa496f1e3493d9d8a4e47b2a840a1a1',1,'20260302_081204.opus','.opus',7.161375,48000,1,'2026-03-02 08:12:04.000000','file name','2026-11-28 10:47:06.660986');
INSERT INTO "clip" VALUES(2,'41c994523b4200ed575597ab55912151543f274da765972c693d00f0e2027642',1,'20260302_081431.opus','.opus',2.4949375,48000,1,'2026-03-02 08:14:31.000000','file name','2026-11-28 10:47:06.747680');
INSERT INTO "clip" VALUES(3,'71b028b754da24c4662c9e7278651530a5bfed3d9faba9f9c664214f6af797b2',1,'20260302_082117.opus','.opus',4.9503125,48000,1,'2026-03-02 08:21:17.000000','file name','2026-11-28 10:47:06.879472');
INSERT INTO "clip" VALUES(4,'bb67e359ad03906a408eaccc9a6f5133c9934e90a9f58b111e208c80dab9fcf1',1,'20260302_082940.opus','.opus',6.91475,48000,1,'2026-03-02 08:29:40.000000','file name','2026-11-28 10:47:07.027247');
CREATE TABLE entry (
	id INTEGER NOT NULL, 
	note_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	version INTEGER NOT NULL, 
	touched BOOLEAN NOT NULL, 
	content JSON NOT NULL, 
	animal_id INTEGER, 
	confirmed_how VARCHAR, 
	confirmed_by VARCHAR, 
	confirmed_at DATETIME, 
	reason VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(note_id) REFERENCES note (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (note_id, position)
);
INSERT INTO "entry" VALUES(1,1,1,0,'confirmed',2,1,'{"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',1,'one','Robin Field','2026-11-28 10:47:09.115821',NULL);
INSERT INTO "entry" VALUES(2,2,1,0,'confirmed',2,1,'{"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}',1,'one','Robin Field','2026-11-28 10:47:09.037449',NULL);
INSERT INTO "entry" VALUES(3,2,1,1,'confirmed',2,1,'{"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',2,'one','Robin Field','2026-11-28 10:47:09.159720',NULL);
INSERT INTO "entry" VALUES(4,3,1,0,'confirmed',2,1,'{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',3,'one','Robin Field','2026-11-28 10:47:09.191335',NULL);
INSERT INTO "entry" VALUES(5,4,1,0,'confirmed',2,1,'{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',4,'one','Robin Field','2026-11-28 10:47:09.227121',NULL);
CREATE TABLE event (
	id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	who VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	subject VARCHAR NOT NULL, 
	subject_id INTEGER NOT NULL, 
	act VARCHAR NOT NULL, 
	"before" JSON, 
	"after" JSON, 
	undoes_id INTEGER, 
	PRIMARY KEY (id), 
	UNIQUE (undoes_id)
);
INSERT INTO "event" VALUES(1,'2026-11-28 10:47:06.645567','','named','farm',1,'b4c2ed74b31e48229242634291c0e0d5',NULL,'{"name": "Alder Farm", "animals": []}',NULL);
INSERT INTO "event" VALUES(2,'2026-11-28 10:47:08.961498','dictate','queued','entry',1,'855857a68c084f90b8554de4ccc4a14d',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(3,'2026-11-28 10:47:08.983549','dictate','queued','entry',2,'855857a68c084f90b8554de4ccc4a14d',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(4,'2026-11-28 10:47:08.984329','dictate','queued','entry',3,'855857a68c084f90b8554de4ccc4a14d',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(5,'2026-11-28 10:47:08.995159','dictate','queued','entry',4,'855857a68c084f90b8554de4ccc4a14d',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(6,'2026-11-28 10:47:09.016139','dictate','queued','entry',5,'855857a68c084f90b8554de4ccc4a14d',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(7,'2026-11-28 10:47:09.062878','','named','farm',1,'4243a3b19d844eb18218ad994e4e01a8',NULL,'{"name": "Alder Farm", "animals": [[1, "412", null, null, null]]}',NULL);
INSERT INTO "event" VALUES(8,'2026-11-28 10:47:09.080868','Robin Field','confirmed','entry',2,'1bba2e2961c84ea9b48649e6563a0f13','{"visit_id": 1, "state": "waiting", "content": {"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-28T10:47:09.037449+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(9,'2026-11-28 10:47:09.133467','Robin Field','confirmed','entry',1,'598c18e6d2f24392b087fb12d9fe089c','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-28T10:47:09.115821+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(10,'2026-11-28 10:47:09.171488','','named','farm',1,'ca7a5c2d9de44145a06d74647dc87771',NULL,'{"name": "Alder Farm", "animals": [[2, "9", null, null, null]]}',NULL);
INSERT INTO "event" VALUES(11,'2026-11-28 10:47:09.174889','Robin Field','confirmed','entry',3,'97b423a9476e44adb212eaec72be2a6d','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-28T10:47:09.159720+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(12,'2026-11-28 10:47:09.200626','','named','farm',1,'cacc56da24b74966a91c4e33bf80fb04',NULL,'{"name": "Alder Farm", "animals": [[3, "12", null, null, null]]}',NULL);
INSERT INTO "event" VALUES(13,'2026-11-28 10:47:09.209305','Robin Field','confirmed','entry',4,'31a1123965984c1fa4bbf69f2876f544','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-28T10:47:09.191335+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(14,'2026-11-28 10:47:09.236401','','named','farm',1,'805747de3fb54d308112fe9a777443e9',NULL,'{"name": "Alder Farm", "animals": [[4, "8", null, null, null]]}',NULL);
INSERT INTO "event" VALUES(15,'2026-11-28 10:47:09.245572','Robin Field','confirmed','entry',5,'c99d62f36a0443a2bb624ce1cf8a3354','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-28T10:47:09.227121+00:00", "reason": null, "touched": true}',NULL);
CREATE TABLE farm (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (name)
);
INSERT INTO "farm" VALUES(1,'Alder Farm');
CREATE TABLE finding (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	zone INTEGER, 
	lesion VARCHAR NOT NULL, 
	stage VARCHAR, 
	severity VARCHAR, 
	heard VARCHAR NOT NULL, 
	object VARCHAR, 
	course VARCHAR, 
	tissue JSON NOT NULL, 
	region VARCHAR, 
	lactation INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
INSERT INTO "finding" VALUES(2,1,1,1,'2026-03-02',0,1,'RH',NULL,NULL,'no lesion',NULL,NULL,'clean',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(1,1,1,1,'2026-03-02',0,2,'LH','outer',4,'sole ulcer',NULL,NULL,'sole ulcer',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(3,2,1,1,'2026-03-02',0,3,'RF',NULL,NULL,'no lesion',NULL,NULL,'clean',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(4,3,1,1,'2026-03-02',0,4,'LF',NULL,NULL,'white line disease',NULL,NULL,'white line disease',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(5,4,1,1,'2026-03-02',0,5,'LH',NULL,NULL,'digital dermatitis',NULL,NULL,'digital dermatitis',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(5,4,1,1,'2026-03-02',1,6,'RH',NULL,NULL,'no lesion',NULL,NULL,'clean',NULL,NULL,'[]',NULL,NULL);
CREATE TABLE follow_up (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	due_on DATE, 
	in_days INTEGER, 
	said_when VARCHAR NOT NULL, 
	snoozed_to DATE, 
	done_on DATE, 
	done_entry_id INTEGER, 
	done_by VARCHAR, feet VARCHAR DEFAULT '' NOT NULL, claw VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(done_entry_id) REFERENCES entry (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE herd_case (
	id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	first_on DATE NOT NULL, 
	last_on DATE NOT NULL, 
	visits INTEGER NOT NULL, 
	course VARCHAR NOT NULL, 
	closed_on DATE, 
	after_closed BOOLEAN NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id)
);
INSERT INTO "herd_case" VALUES(1,1,1,'sole ulcer','LH','outer','2026-03-02','2026-03-02',1,'new',NULL,0);
INSERT INTO "herd_case" VALUES(2,3,1,'white line','LF',NULL,'2026-03-02','2026-03-02',1,'new',NULL,0);
INSERT INTO "herd_case" VALUES(3,4,1,'digital dermatitis','LH',NULL,'2026-03-02','2026-03-02',1,'new',NULL,0);
CREATE TABLE locomotion (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	score INTEGER NOT NULL, 
	scale VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE measure (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	what VARCHAR NOT NULL, 
	number VARCHAR(40) NOT NULL, 
	unit VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE note (
	id INTEGER NOT NULL, 
	clip_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	engine VARCHAR NOT NULL, 
	model VARCHAR NOT NULL, 
	words JSON NOT NULL, 
	alternatives JSON NOT NULL, 
	has_speech BOOLEAN NOT NULL, 
	seconds_taken FLOAT NOT NULL, 
	heard_at DATETIME NOT NULL, fits JSON DEFAULT '[]' NOT NULL, cut_out BOOLEAN DEFAULT 0 NOT NULL, again JSON, 
	PRIMARY KEY (id), 
	FOREIGN KEY(clip_id) REFERENCES clip (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (clip_id)
);
INSERT INTO "note" VALUES(1,1,1,'confirmed','fake 1','none','[{"text": "cow", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "four", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "twelve", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "left", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "hind", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "outer", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "sole", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}, {"text": "ulcer", "start": 2.8000000000000003, "end": 3.2, "confidence": 1.0}, {"text": "zone", "start": 3.2, "end": 3.6, "confidence": 1.0}, {"text": "four", "start": 3.6, "end": 4.0, "confidence": 1.0}]','[]',1,1.83574390001012943685e-01,'2026-11-28 10:47:07.388643','[]',0,NULL);
INSERT INTO "note" VALUES(2,2,1,'confirmed','fake 1','none','[{"text": "right", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "hind", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "clean", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "next", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "cow", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "nine", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "right", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}, {"text": "front", "start": 2.8000000000000003, "end": 3.2, "confidence": 1.0}, {"text": "clean", "start": 3.2, "end": 3.6, "confidence": 1.0}]','[]',1,5.10451640002429485321e-02,'2026-11-28 10:47:07.499758','[]',0,NULL);
INSERT INTO "note" VALUES(3,3,1,'confirmed','fake 1','none','[{"text": "cow", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "twelve", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "left", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "front", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "white", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "line", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "disease", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}]','[]',1,5.67405270012386608868e-02,'2026-11-28 10:47:07.666832','[]',0,NULL);
INSERT INTO "note" VALUES(4,4,1,'confirmed','fake 1','none','[{"text": "cow", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "eight", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "left", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "hind", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "digital", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "dermatitis", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "right", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}, {"text": "hind", "start": 2.8000000000000003, "end": 3.2, "confidence": 1.0}, {"text": "clean", "start": 3.2, "end": 3.6, "confidence": 1.0}]','[]',1,1.02077472998644225299e-01,'2026-11-28 10:47:07.890776','[]',0,NULL);
CREATE TABLE reading (
	id INTEGER NOT NULL, 
	note_id INTEGER NOT NULL, 
	origin VARCHAR NOT NULL, 
	who VARCHAR NOT NULL, 
	lexicon VARCHAR NOT NULL, 
	carried_in VARCHAR, 
	carried_out VARCHAR, 
	content JSON NOT NULL, 
	entries JSON NOT NULL, 
	read_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(note_id) REFERENCES note (id)
);
INSERT INTO "reading" VALUES(1,1,'heard','dictate','ab7f10a2b928',NULL,'412','{"words": ["cow", "four", "twelve", "left", "hind", "outer", "sole", "ulcer", "zone", "four"], "commands": [], "leftover": [], "leftover_at": []}','[{"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-28 10:47:08.944205');
INSERT INTO "reading" VALUES(2,2,'heard','dictate','ab7f10a2b928','412','9','{"words": ["right", "hind", "clean", "next", "cow", "nine", "right", "front", "clean"], "commands": ["next cow"], "leftover": [], "leftover_at": []}','[{"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-28 10:47:08.979624');
INSERT INTO "reading" VALUES(3,3,'heard','dictate','ab7f10a2b928','9','12','{"words": ["cow", "twelve", "left", "front", "white", "line", "disease"], "commands": [], "leftover": [], "leftover_at": []}','[{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-28 10:47:08.991721');
INSERT INTO "reading" VALUES(4,4,'heard','dictate','ab7f10a2b928','12','8','{"words": ["cow", "eight", "left", "hind", "digital", "dermatitis", "right", "hind", "clean"], "commands": [], "leftover": [], "leftover_at": []}','[{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-28 10:47:09.010487');
CREATE TABLE remark (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE seal (
	id INTEGER NOT NULL, 
	through_id INTEGER NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (through_id)
);
INSERT INTO "seal" VALUES(1,1,'183be5482fc5b01de6c5027aad79f0f3b3b871bdde3374e382ffe38548326dd4');
INSERT INTO "seal" VALUES(2,2,'006ab9f4045ac77cdd00f9fd9b35d589bb97861edf17539cacbb480f13fd2700');
INSERT INTO "seal" VALUES(3,4,'fe6a4b2d36181457534fbe5ac0b2add38251a8d38cc49790c598c4b256bcccd0');
INSERT INTO "seal" VALUES(4,5,'024a5f09c7998cde1c4be8e66437081fe1c3479fa565f057946190ef458c29e7');
INSERT INTO "seal" VALUES(5,6,'0754798b5bfa84c0b6a158417e16adef5baf776df96641018c46583272e8b9f4');
INSERT INTO "seal" VALUES(6,8,'8708d782f8dbc1b3e2b1c3b19634e0e6a3f2f24bf7e2f7cb35e94c3f3cb7c595');
INSERT INTO "seal" VALUES(7,9,'c0a8ba2e2a1d81c2b89c0d1238b64063b9996d6e14e6d43456d3bee054ad90eb');
INSERT INTO "seal" VALUES(8,11,'e89b65aa05fe916703f41b2c9880268bbd7f2b4f4ae20701c2c18a9f8c7ee628');
INSERT INTO "seal" VALUES(9,13,'e5321042dea095ebd10884b46483d6356f13085f5601e799f021a231761b26ef');
INSERT INTO "seal" VALUES(10,15,'9f3de644a69fa28f544fc3a6455957e2b5e7076ee9a2854c2f5e32a7346da1cc');
CREATE TABLE status (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE trimmer (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (name)
);
INSERT INTO "trimmer" VALUES(1,'Robin Field');
CREATE TABLE visit (
	id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	trimmer_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	whole_herd BOOLEAN, 
	PRIMARY KEY (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(trimmer_id) REFERENCES trimmer (id), 
	UNIQUE (farm_id, trimmer_id, date)
);
INSERT INTO "visit" VALUES(1,1,1,'2026-03-02',NULL);
CREATE INDEX event_subject ON event (subject, subject_id);
CREATE INDEX ix_event_act ON event (act);
CREATE INDEX ix_alias_trimmer_id ON alias (trimmer_id);
CREATE INDEX animal_eid ON animal (farm_id, eid);
CREATE UNIQUE INDEX animal_present_number ON animal (farm_id, number) WHERE status = 'present' AND merged_into_id IS NULL;
CREATE INDEX ix_animal_farm_id ON animal (farm_id);
CREATE INDEX ix_visit_date ON visit (date);
CREATE INDEX ix_visit_farm_id ON visit (farm_id);
CREATE INDEX ix_visit_trimmer_id ON visit (trimmer_id);
CREATE INDEX ix_clip_visit_id ON clip (visit_id);
CREATE INDEX ix_note_state ON note (state);
CREATE INDEX ix_note_visit_id ON note (visit_id);
CREATE INDEX entry_visit_state ON entry (visit_id, state);
CREATE INDEX ix_entry_animal_id ON entry (animal_id);
CREATE INDEX ix_reading_note_id ON reading (note_id);
CREATE INDEX action_animal_date ON action (animal_id, date);
CREATE INDEX action_farm_date ON action (farm_id, date);
CREATE INDEX ix_action_entry_id ON action (entry_id);
CREATE INDEX ix_action_visit_id ON action (visit_id);
CREATE INDEX finding_animal_date ON finding (animal_id, date);
CREATE INDEX finding_farm_date ON finding (farm_id, date);
CREATE INDEX ix_finding_entry_id ON finding (entry_id);
CREATE INDEX ix_finding_visit_id ON finding (visit_id);
CREATE INDEX follow_up_animal_date ON follow_up (animal_id, date);
CREATE INDEX follow_up_farm_due ON follow_up (farm_id, due_on);
CREATE INDEX ix_follow_up_done_entry_id ON follow_up (done_entry_id);
CREATE INDEX ix_follow_up_entry_id ON follow_up (entry_id);
CREATE INDEX ix_follow_up_visit_id ON follow_up (visit_id);
CREATE INDEX ix_locomotion_entry_id ON locomotion (entry_id);
CREATE INDEX ix_locomotion_visit_id ON locomotion (visit_id);
CREATE INDEX locomotion_animal_date ON locomotion (animal_id, date);
CREATE INDEX ix_measure_entry_id ON measure (entry_id);
CREATE INDEX ix_measure_visit_id ON measure (visit_id);
CREATE INDEX measure_animal_date ON measure (animal_id, date);
CREATE INDEX ix_remark_entry_id ON remark (entry_id);
CREATE INDEX ix_remark_visit_id ON remark (visit_id);
CREATE INDEX remark_animal_date ON remark (animal_id, date);
CREATE INDEX ix_status_entry_id ON status (entry_id);
CREATE INDEX ix_status_visit_id ON status (visit_id);
CREATE INDEX status_animal_date ON status (animal_id, date);
CREATE TRIGGER event_row_kept BEFORE UPDATE ON event FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'event is append-only'); END;
CREATE TRIGGER reading_row_kept BEFORE UPDATE ON reading FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE TRIGGER note_words_kept BEFORE UPDATE OF words ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER note_alternatives_kept BEFORE UPDATE OF alternatives ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER clip_sha256_kept BEFORE UPDATE OF sha256 ON clip FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'clip is append-only'); END;
CREATE TRIGGER clip_not_deleted BEFORE DELETE ON clip FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'clip is append-only'); END;
CREATE TRIGGER entry_not_deleted BEFORE DELETE ON entry FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'entry is append-only'); END;
CREATE TRIGGER event_not_deleted BEFORE DELETE ON event FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'event is append-only'); END;
CREATE TRIGGER note_not_deleted BEFORE DELETE ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER reading_not_deleted BEFORE DELETE ON reading FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE INDEX ix_herd_case_animal_id ON herd_case (animal_id);
CREATE INDEX herd_case_farm_closed ON herd_case (farm_id, closed_on);
CREATE INDEX herd_case_farm_first ON herd_case (farm_id, first_on);
COMMIT;
